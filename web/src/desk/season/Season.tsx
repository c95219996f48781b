/** The view of the season: effort, rates with their ranges, misses, waits, money, plans; each plot with its numbers. */
import { useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { useSettled } from '../settled';
import { units } from '../state';
import { figure, range } from './figures';
import { Money } from './Money';
import { Plans } from './Plans';
import { Plots } from './Plots';
import './season.css';
import type { PlotTold, SeasonTold } from './told';
import { words } from './words';

const FIRST = { season: '', first: '', last: '', nights: 'half-interval', by: '', hour: '', mile: '', until: '', exact: false, score: false };
type Typed = typeof FIRST;
/** Groups drawn unless another is chosen as well. */
const USUAL = ['property', 'location type'];

/** What was typed, as the machine takes it; nothing for what was left empty. */
function asked(typed: Typed): object {
  const { hour, mile, by, exact, score, ...words_ } = typed;
  const told = Object.fromEntries(Object.entries(words_).filter(([, text]) => text.trim()));
  const amounts = Object.fromEntries(Object.entries({ hour, mile }).filter(([, text]) => text.trim()).map(([name, text]) => [name, Number(text)]));
  return { ...told, ...amounts, by: by && !USUAL.includes(by) ? [...USUAL, by] : USUAL, exact, score };
}

export function Season() {
  const [typed, setTyped] = useState(FIRST);
  const settled = useSettled(typed, 500);
  const held = useAsked<{ season: SeasonTold; drawn: PlotTold[] }>('season', { ...asked(settled), units: units.value });
  const told = held.faults.length === 0 ? held.data : null;
  const type = (name: keyof Typed, value: string | boolean): void => setTyped((before) => ({ ...before, [name]: value }));
  const { season, first, last } = settled;
  return (
    <div class="season" data-ready={held.busy ? undefined : 'yes'}>
      <Heading>{words.title}</Heading>
      <Choose typed={typed} type={type} groups={Object.keys(held.data?.season.by ?? {})} />
      <Faults faults={held.faults} />
      {held.data === null && held.busy && <p role="status">…</p>}
      {told && (
        <>
          <All told={told.season} />
          <Plots drawn={told.drawn} told={told.season} />
          <Shares told={told.season} />
          <Money told={told.season.money} />
          <Plans days={Object.fromEntries(Object.entries({ season, first, last }).filter(([, text]) => text.trim()))} />
        </>
      )}
    </div>
  );
}

function Choose({ typed, type, groups }: { typed: Typed; type: (name: keyof Typed, value: string | boolean) => void; groups: string[] }) {
  const text = (name: 'season' | 'first' | 'last' | 'until', kind: 'day' | 'text') => (
    <label>
      {words.asked[name]}
      {kind === 'day'
        ? <input type="date" value={typed[name]} onInput={(event) => type(name, event.currentTarget.value)} />
        : <input value={typed[name]} onInput={(event) => type(name, event.currentTarget.value)} />}
    </label>
  );
  const amount = (name: 'hour' | 'mile') => (
    <label>
      {words.asked[name]}
      <input type="number" min="0" step="any" value={typed[name]} onInput={(event) => type(name, event.currentTarget.value)} />
    </label>
  );
  return (
    <form class="card fields noprint" onSubmit={(event) => event.preventDefault()}>
      {text('season', 'text')}
      {text('first', 'day')}
      {text('last', 'day')}
      <label>
        {words.asked.nights}
        <select value={typed.nights} onChange={(event) => type('nights', event.currentTarget.value)}>
          {Object.entries(words.nights).map(([name, shown]) => <option key={name} value={name}>{name}: {shown}</option>)}
        </select>
      </label>
      <label>
        {words.asked.by}
        <select value={typed.by} onChange={(event) => type('by', event.currentTarget.value)}>
          <option value="">{USUAL.join(', ')}</option>
          {groups.filter((one) => !USUAL.includes(one)).map((one) => <option key={one} value={one}>{USUAL.join(', ')}, {one}</option>)}
        </select>
      </label>
      {amount('hour')}
      {amount('mile')}
      {text('until', 'day')}
      {(['exact', 'score'] as const).map((name) => (
        <label key={name} class="check">
          <input type="checkbox" checked={typed[name]} onChange={(event) => type(name, event.currentTarget.checked)} /> {words.asked[name]}
        </label>
      ))}
    </form>
  );
}

function All({ told }: { told: SeasonTold }) {
  const { total, rate_target_per_100: rate } = told;
  const left = [told.waits.limits_doubt, told.earning.ranked ? '' : told.earning.why_not, ...told.money.left_out].filter(Boolean);
  return (
    <div class="cards">
      <section class="card" aria-labelledby="all">
        <h2 id="all">{words.all}: {told.season}</h2>
        {!told.has_effort && <p class="mark">{words.none}</p>}
        <p>{words.effort(total.sets, total.looks, figure(total.nights_out), figure(total.device_nights))}</p>
        {told.not_counted_yet_nights > 0 && <p>{words.open(figure(told.not_counted_yet_nights))}</p>}
        <p>{words.caught(total.target, total.other)}</p>
        {rate.value !== null && (
          <p>
            {words.rate}: <b class="rate">{figure(rate.value)}</b> ({range(rate)}; {words.level(rate.level, rate.method)})
          </p>
        )}
        <p><small>{told.convention.says}.</small></p>
        <p><small>{told.legal_said}.</small></p>
      </section>
      <section class="card" aria-labelledby="left">
        <h2 id="left">{words.withheld}</h2>
        {told.faults.length === 0 && left.length === 0 && <p>{words.nothingWithheld}</p>}
        <ul>
          {told.faults.map((one, place) => <li key={place} class="mark"><b>{one.what}</b> {one.where && <code>{one.where}</code>} {one.do} <small>{one.code}</small></li>)}
          {left.map((one) => <li key={one}>{one}</li>)}
        </ul>
      </section>
    </div>
  );
}

function Shares({ told }: { told: SeasonTold }) {
  return (
    <section class="card" aria-labelledby="shares">
      <h2 id="shares">{words.shares}</h2>
      <table>
        <thead><tr>{words.shareColumns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
        <tbody>
          {told.shares.map((one) => (
            <tr key={one.name}>
              <th scope="row">{one.name}</th>
              <td>{one.of}</td>
              <td>{words.ofThem(one.part, one.whole)}</td>
              <td>{one.value === null ? words.nothing : figure(one.value)}</td>
              <td>{range(one)}</td>
              <td><small>{words.level(one.level, one.method)}{one.standard !== null && `; ${words.standard(figure(one.standard), one.met)}`}</small></td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
