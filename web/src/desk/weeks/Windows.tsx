/** Outings of the plan, each to be left out and put back; and the windows that are on record. */
import { useState } from 'preact/hooks';
import { ask, type Fault } from '../ask';
import { faultsOf } from '../asked';
import { Faults } from '../parts/Faults';
import { refresh } from '../state';
import type { Plan } from './gaps';
import { words } from './words';

export interface WindowKept {
  id: string;
  who: string;
  from: string;
  to: string;
  vehicle: boolean;
}
interface Asked {
  plan: Plan | null;
  gone: ReadonlySet<number>;
  onToggle: (outing: number) => void;
  windows: WindowKept[];
  people: string[];
  at: (when: string) => string;
}

export function Windows({ plan, gone, onToggle, windows, people, at }: Asked) {
  return (
    <details class="card noprint" open={plan !== null && plan.outings.length <= 14}>
      <summary>{words.windows.title}</summary>
      {plan && (
        <>
          <p>{words.windows.hint}</p>
          <table>
            <thead><tr>{words.windows.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
            <tbody>
              {plan.outings.map((one, number) => (
                <tr key={number}>
                  <td><input type="checkbox" checked={!gone.has(number)} aria-label={words.windows.of(one.who, at(one.window.from))} onChange={() => onToggle(number)} /></td>
                  <td>{one.who}</td>
                  <td>{at(one.window.from)} – {at(one.window.to)}</td>
                  <td>{at(one.leave)}</td>
                  <td>{at(one.back)}</td>
                  <td>{words.windows.looks(one.stops.reduce((sum, stop) => sum + stop.looks.length, 0))}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </>
      )}
      <Kept windows={windows} people={people} at={at} />
    </details>
  );
}

function Kept({ windows, people, at }: Pick<Asked, 'windows' | 'people' | 'at'>) {
  const [told, setTold] = useState({ who: '', from: '', to: '', vehicle: true });
  const [faults, setFaults] = useState<Fault[]>([]);
  const write = (name: string, body: object): void => {
    ask(name, body).then(
      () => {
        setFaults([]);
        void refresh();
      },
      (reason: unknown) => setFaults(faultsOf(reason)),
    );
  };
  return (
    <>
      <h3>{words.windows.record}</h3>
      {windows.length === 0 && <p>{words.windows.none}</p>}
      <ul class="windows">
        {windows.map((one) => (
          <li key={one.id}>
            {one.who}: {at(one.from)} – {at(one.to)}, {one.vehicle ? words.windows.vehicle : words.windows.walkOnly}{' '}
            <button type="button" onClick={() => write('window-remove', { id: one.id })} aria-label={`${words.windows.remove}: ${one.who}, ${at(one.from)}`}>{words.windows.remove}</button>
          </li>
        ))}
      </ul>
      <form onSubmit={(event) => { event.preventDefault(); write('window-add', { ...told, who: told.who || (people[0] ?? '') }); }}>
        <label>{words.windows.person} <input list="people" value={told.who} placeholder={people[0] ?? ''} onInput={(event) => setTold({ ...told, who: event.currentTarget.value })} /></label>
        <datalist id="people">{people.map((one) => <option key={one} value={one} />)}</datalist>
        <label>{words.windows.from} <input type="datetime-local" value={told.from} onInput={(event) => setTold({ ...told, from: event.currentTarget.value })} /></label>
        <label>{words.windows.to} <input type="datetime-local" value={told.to} onInput={(event) => setTold({ ...told, to: event.currentTarget.value })} /></label>
        <label><input type="checkbox" checked={told.vehicle} onChange={(event) => setTold({ ...told, vehicle: event.currentTarget.checked })} /> {words.windows.vehicle}</label>
        <button type="submit" disabled={!told.from || !told.to}>{words.windows.add}</button>
      </form>
      <Faults faults={faults} />
    </>
  );
}
