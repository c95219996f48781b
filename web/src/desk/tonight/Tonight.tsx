/** The first view: what matters before bed, the worst first; each line leads to where it is mended. */
import { useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { clock } from '../../units';
import { ask, type Fault } from '../ask';
import { faultsOf, useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { line, present } from '../state';
import { RoundTold, type Round } from './RoundTold';
import './tonight.css';
import { words } from './words';

interface Item {
  name: string;
  words: string;
  when: string | null;
  view: string;
  target: string;
}
interface Card {
  kind: string;
  state: 'act' | 'look' | 'fine';
  said: string[];
  items: Item[];
  more: number;
}
interface TonightTold {
  now: string;
  in_field: number;
  round: Round | null;
  why: string;
  cards: Card[];
}

/** Lines of a card before the rest is folded away. */
const SHOWN = 4;
const ORDER = { act: 0, look: 1, fine: 2 };

export function Tonight() {
  const told = useAsked<TonightTold>('tonight');
  const law = useAsked<{ cards: Card[] }>('tonight-law');
  const weather = useAsked<{ cards: Card[] }>('tonight-weather');
  const cards = [told, law, weather].flatMap((one) => one.data?.cards ?? []).sort((a, b) => ORDER[a.state] - ORDER[b.state]);
  const waiting = [told, law, weather].some((one) => one.data === null && one.faults.length === 0);
  const state = cards[0]?.state;
  return (
    <div class="tonight" data-ready={waiting ? undefined : 'yes'}>
      <Heading>{words.title}</Heading>
      <p class="verdict">{state === undefined ? '' : state === 'act' ? `${words.act}: ${acts(cards)}.` : words.fine}</p>
      <Faults faults={[...told.faults, ...law.faults, ...weather.faults]} />
      <div class="columns">
        <div class="grid">
          {cards.map((one) => <CardShown key={one.kind} card={one} onForecast={weather.again} />)}
          {waiting && <p aria-live="polite">{words.waiting}</p>}
        </div>
        {told.data && <RoundShown round={told.data.round} why={told.data.why} again={told.again} />}
      </div>
    </div>
  );
}

const acts = (cards: Card[]): string =>
  cards.filter((one) => one.state === 'act').map((one) => one.said[0]).join('; ');

function CardShown({ card, onForecast }: { card: Card; onForecast: () => void }) {
  return (
    <section class={`card state-${card.state}`} aria-labelledby={`card-${card.kind}`}>
      <h2 id={`card-${card.kind}`}>
        <span class="sign" aria-hidden="true">{card.state === 'act' ? '▲' : card.state === 'look' ? '○' : '✓'}</span>
        {words.cards[card.kind]} <small>{words.states[card.state]}</small>
      </h2>
      {card.said.map((one) => <p key={one}>{one[0]!.toUpperCase() + one.slice(1)}.</p>)}
      <Items items={card.items.slice(0, SHOWN)} />
      {card.items.length > SHOWN && (
        <details>
          <summary>{words.more(card.items.length - SHOWN + card.more)}</summary>
          <Items items={card.items.slice(SHOWN)} />
          {card.more > 0 && <p><small>{words.more(card.more)}</small></p>}
        </details>
      )}
      {card.kind === 'weather' && <Forecast onKept={onForecast} />}
    </section>
  );
}

function Items({ items }: { items: Item[] }) {
  const zone = line.value?.zone ?? 'UTC';
  return (
    <ul>
      {items.map((one, place) => (
        <li key={place}>
          <a href={`#/${one.view}${one.target ? `/${encodeURIComponent(one.target)}` : ''}`}>
            {one.name && <b>{one.name}</b>} {one.words}
          </a>
          {one.when && <span class="when">{clock(one.when, zone, present())}</span>}
        </li>
      ))}
    </ul>
  );
}

function Forecast({ onKept }: { onKept: () => void }) {
  const [text, setText] = useState('');
  const [faults, setFaults] = useState<Fault[]>([]);
  const keep = (event: Event): void => {
    event.preventDefault();
    ask('forecast', { words: text }).then(
      () => {
        setFaults([]);
        onKept();
      },
      (reason: unknown) => setFaults(faultsOf(reason)),
    );
  };
  return (
    <form class="noprint" onSubmit={keep}>
      <label class="wide">{words.forecast.label}<input value={text} onInput={(event) => setText(event.currentTarget.value)} /></label>
      <button type="submit" disabled={!text}>{words.forecast.keep}</button>
      <Faults faults={faults} />
    </form>
  );
}

function RoundShown({ round, why, again }: { round: Round | null; why: string; again: () => void }) {
  const [busy, setBusy] = useState(false);
  const [faults, setFaults] = useState<Fault[]>([]);
  const plan = (): void => {
    setBusy(true);
    ask('plan').then(
      () => setFaults([]),
      (reason: unknown) => setFaults(faultsOf(reason)),
    ).finally(() => {
      setBusy(false);
      again();
    });
  };
  return (
    <section class="card round" aria-labelledby="card-round">
      <h2 id="card-round"><a href="#/round">{words.round.title}</a></h2>
      {round === null ? <p>{words.round.none} {why}</p> : <RoundTold round={round} />}
      <p class="noprint">
        <button type="button" onClick={plan} disabled={busy}>{busy ? words.round.planning : words.round.again}</button>{' '}
        <a href="#/papers/route-card">{words.round.card}</a>
      </p>
      <Faults faults={faults} />
    </section>
  );
}
