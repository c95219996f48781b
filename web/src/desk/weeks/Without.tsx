/** Somebody cannot go: the least that must be done, who may do it, what to close or take up first. */
import { useState } from 'preact/hooks';
import { clock } from '../../units';
import { useWork } from '../asked';
import { WorkBar } from '../parts/WorkBar';
import { line, present } from '../state';
import { words } from './words';

interface Told {
  kept_until: string;
  phone: { who: string; by: string; now: boolean; leave_by: string | null }[];
  who: { who: string; may: string; why: string[]; phone: string; planned_with: boolean }[];
  sets: { set: string; parcel: string; due_at: string | null; do: string; look_at: string | null; by: string }[];
  outings: { who: string; leave: string; back: string; stops: { parking: string; sets: string[] }[] }[];
  cannot_keep: { set: string; due_at: string | null }[];
  said: string[];
}

export function Without({ people, asked }: { people: string[]; asked: { mornings: string; evenings: string; seconds: string } }) {
  const working = useWork<Told>('weeks-without');
  const [told, setTold] = useState({ who: '', since: 'tomorrow', until: '' });
  const begin = (event: Event): void => {
    event.preventDefault();
    working.begin({
      without: [told.who || people[0] || ''], since: told.since, until: told.until,
      mornings: asked.mornings.trim(), evenings: asked.evenings.trim(), seconds: Number(asked.seconds) || 30,
    });
  };
  return (
    <details class="card" open={working.work !== null}>
      <summary>{words.without.title}</summary>
      <form class="noprint" onSubmit={begin}>
        <label>{words.without.who} <select value={told.who || (people[0] ?? '')} onChange={(event) => setTold({ ...told, who: event.currentTarget.value })}>{people.map((one) => <option key={one}>{one}</option>)}</select></label>
        <label>{words.without.since} <input value={told.since} onInput={(event) => setTold({ ...told, since: event.currentTarget.value })} /></label>
        <label>{words.without.until} <input value={told.until} onInput={(event) => setTold({ ...told, until: event.currentTarget.value })} /></label>
        <button type="submit">{words.without.ask}</button>
      </form>
      <WorkBar working={working} />
      {working.answer && <Shown told={working.answer} />}
    </details>
  );
}

function Shown({ told }: { told: Told }) {
  const at = (when: string | null): string => (when === null ? '' : clock(when, line.value?.zone ?? 'UTC', present()));
  return (
    <>
      {told.phone.map((one) => <p key={one.who} class="mark"><b>{words.without.phone(one.who, one.now ? words.without.now : at(one.by))}</b></p>)}
      {told.cannot_keep.length > 0 && <p class="mark"><b>{words.without.cannot(told.cannot_keep.map((one) => `${one.set} (${at(one.due_at)})`).join(', '))}</b></p>}
      <h3>{words.without.may}</h3>
      <ul>{told.who.map((one) => <li key={one.who}><b>{one.who}</b> {one.may} {one.why.join(' ')}{one.phone && <small> {one.phone}</small>}</li>)}</ul>
      <h3>{words.without.acts}</h3>
      <table>
        <thead><tr>{words.without.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
        <tbody>{told.sets.map((one) => <tr key={one.set}><th scope="row">{one.set}</th><td>{one.parcel}</td><td>{one.do}</td><td>{at(one.look_at)}</td><td>{one.by}</td><td>{at(one.due_at)}</td></tr>)}</tbody>
      </table>
      <ul>{told.outings.map((one) => <li key={one.who + one.leave}>{one.who}, {at(one.leave)} – {at(one.back)}: {one.stops.map((stop) => `${stop.parking} (${stop.sets.join(', ')})`).join(' → ')}</li>)}</ul>
      <ul>{told.said.map((one) => <li key={one}>{one}</li>)}</ul>
      <p class="noprint"><a href="#/papers/finder-sheet">{words.without.sheet}</a></p>
    </>
  );
}
