/** The first view: what matters before bed, the worst first; each line leads to where it is mended. */
import { useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { clock, distance, stretch } from '../../units';
import { ask, type Fault } from '../ask';
import { faultsOf, useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { line, present, units } from '../state';
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
export interface Round {
  leave: string;
  back: string;
  latest_return: string;
  fits: boolean;
  stops: { parking: string; drive_m: number; back_m: number; visits: { set: string; walk_m: number }[] }[];
  home: { drive_m: number };
  left_out: { set: string; must: boolean; due: string | null; why: string }[];
  reliefs: { what: string }[];
  expected: { chance_of_a_catch: number };
  bad_mornings: { catches: number; end: string; late: string[]; over_min: number }[];
  carry: string[];
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

function RoundTold({ round }: { round: Round }) {
  const zone = line.value?.zone ?? 'UTC';
  const at = (text: string): string => clock(text, zone, present());
  const visits = round.stops.flatMap((one) => one.visits);
  const walked = visits.reduce((sum, one) => sum + one.walk_m, 0) + round.stops.reduce((sum, one) => sum + one.back_m, 0);
  const driven = round.stops.reduce((sum, one) => sum + one.drive_m, round.home.drive_m);
  return (
    <>
      <dl class="times">
        <div><dt>{words.round.leave}</dt><dd>{at(round.leave)}</dd></div>
        <div><dt>{words.round.back} <small>{words.round.ordinary}</small></dt><dd>{at(round.back)}</dd></div>
        {round.bad_mornings.map((one) => (
          <div key={one.catches} class={one.late.length || one.over_min > 0 ? 'over' : ''}>
            <dt>{words.round.back} <small>{words.round.catches(one.catches)}</small></dt>
            <dd>
              {at(one.end)}
              {one.over_min > 0 && <small> {words.round.over(stretch(Math.ceil(one.over_min)))}</small>}
              {one.late.length > 0 && <small> {words.round.late(one.late.length)}</small>}
            </dd>
          </div>
        ))}
      </dl>
      <p>{words.round.by(at(round.latest_return))}; {words.round.chance(round.expected.chance_of_a_catch)}.</p>
      <p>{words.round.sets(visits.length, distance(walked, units.value), distance(driven, units.value))}.</p>
      {round.fits ? <p>{words.round.fits}</p> : (
        <div class="mark">
          <p><b>{words.round.fitsNot}</b> {round.left_out.filter((one) => one.must).map((one) => one.set).join(', ')}</p>
          <ul>{round.reliefs.map((one) => <li key={one.what}>{one.what}</li>)}</ul>
        </div>
      )}
      <p>{round.stops.map((one) => `${one.parking} (${one.visits.length})`).join(' → ')}</p>
      <h3>{words.round.carry}</h3>
      <ul class="carry">{round.carry.map((one) => <li key={one}>{one}</li>)}</ul>
    </>
  );
}
