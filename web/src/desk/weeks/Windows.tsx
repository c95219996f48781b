/** Outings of the plan, each to be left out and put back; and the windows that are on record. */
import { useState } from 'preact/hooks';
import { ask, type Fault } from '../ask';
import { faultsOf } from '../asked';
import { Faults } from '../parts/Faults';
import { refresh } from '../state';
import type { Moved, Plan } from './gaps';
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
  moved: Moved;
  zone: string;
  onToggle: (outing: number) => void;
  onMove: (outing: number, window: { from: number; to: number }) => void;
  windows: WindowKept[];
  people: string[];
  at: (when: string) => string;
}

export function Windows({ plan, gone, moved, zone, onToggle, onMove, windows, people, at }: Asked) {
  const hour = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit', timeZone: zone });
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
                  <td>
                    {at(one.window.from)}
                    {(['from', 'to'] as const).map((edge) => {
                      const now = moved.get(number) ?? { from: Date.parse(one.window.from), to: Date.parse(one.window.to) };
                      const typed = (text: string): void => {
                        const told = { ...now, [edge]: Date.parse(one.window[edge].slice(0, 11) + text + one.window[edge].slice(16)) };
                        if (told.from < told.to) onMove(number, told);
                      };
                      return <input key={edge} type="time" value={hour.format(now[edge])} aria-label={`${words.windows[edge]}: ${words.windows.of(one.who, at(one.window.from))}`} onChange={(event) => typed(event.currentTarget.value)} />;
                    })}
                  </td>
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
          <OnRecord key={`${one.id} ${one.from} ${one.to}`} one={one} at={at} write={write} />
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

/** One window on record: its hours are typed, and written as a correction when that is asked for. */
function OnRecord({ one, at, write }: { one: WindowKept; at: (when: string) => string; write: (name: string, body: object) => void }) {
  const [told, setTold] = useState({ from: one.from.slice(0, 16), to: one.to.slice(0, 16) });
  const name = words.windows.of(one.who, at(one.from));
  const same = told.from === one.from.slice(0, 16) && told.to === one.to.slice(0, 16);
  return (
    <li>
      {one.who}, {one.vehicle ? words.windows.vehicle : words.windows.walkOnly}:{' '}
      {(['from', 'to'] as const).map((edge) => (
        <input key={edge} type="datetime-local" value={told[edge]} aria-label={`${words.windows[edge]}: ${name}`} onInput={(event) => setTold({ ...told, [edge]: event.currentTarget.value })} />
      ))}{' '}
      <button type="button" disabled={same || !told.from || !told.to} onClick={() => write('window-change', { id: one.id, ...told })} aria-label={`${words.windows.change}: ${name}`}>{words.windows.change}</button>{' '}
      <button type="button" onClick={() => write('window-remove', { id: one.id })} aria-label={`${words.windows.remove}: ${name}`}>{words.windows.remove}</button>
    </li>
  );
}
