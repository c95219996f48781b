/** The tables beside the map: sets, parcels, and everything else that has a place. */
import { useState } from 'preact/hooks';
import { LoopClock } from '../../parts/LoopClock';
import { area, distance, short, stretch } from '../../units';
import { words as shared } from '../../words';
import { ask, type Fault } from '../ask';
import { faultsOf } from '../asked';
import { Faults } from '../parts/Faults';
import { present, refresh, units } from '../state';
import { clockNow, written, type GroundTold, type Place, type SetTold } from './told';
import { words } from './words';

/** More rows than this are not looked through by anybody. */
const MOST = 120;

function Filter({ value, set }: { value: string; set: (value: string) => void }) {
  return <label class="filter">{words.filter} <input value={value} onInput={(event) => set(event.currentTarget.value)} /></label>;
}
/** A place to about a metre, for a table. */
const brief = ([lon, lat]: Place): string => `${lon.toFixed(5)}, ${lat.toFixed(5)}`;
const has = (filter: string, ...texts: string[]): boolean => texts.some((one) => one.toLowerCase().includes(filter.trim().toLowerCase()));

function Left({ one }: { one: SetTold }) {
  const clock = clockNow(one, present());
  const word = clock.reading === 'left' ? '' : shared.clock[clock.reading];
  return <span class="left"><LoopClock clock={clock} size={22} /> {clock.minutes !== null && stretch(clock.minutes)} {word}</span>;
}

export function SetsTable({ told, chosen, choose, move }: { told: GroundTold; chosen: string; choose: (set: string) => void; move: (event: string) => void }) {
  const w = words.sets;
  const [filter, setFilter] = useState('');
  const sets = told.sets.filter((one) => has(filter, one.set, one.parcel, one.landmark));
  const picked = told.sets.find((one) => one.set === chosen);
  return (
    <>
      {picked && <Chosen one={picked} move={move} />}
      <Filter value={filter} set={setFilter} />
      <div class="scroll" tabIndex={0} role="group" aria-label={words.tabs.sets}>
        <table>
          <thead><tr>{w.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
          <tbody>
            {sets.slice(0, MOST).map((one) => (
              <tr key={one.set} class={one.set === chosen ? 'chosen' : ''}>
                <th scope="row"><button type="button" aria-pressed={one.set === chosen} onClick={() => choose(one.set)}>{one.set}</button></th>
                <td><Left one={one} /></td>
                <td class="coords">{brief(one.place)}</td>
                <td>{one.parcel} {one.stands && one.stands.side !== 'right side' && <b>{w.within[one.stands.side]}</b>}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {told.sets.length === 0 && <p>{w.none}</p>}
      {sets.length > MOST && <p>{words.rest(sets.length - MOST)}</p>}
    </>
  );
}

function Chosen({ one, move }: { one: SetTold; move: (event: string) => void }) {
  const w = words.sets;
  const of = (metres: number): string => short(metres, units.value);
  return (
    <div class="card chosen">
      <h2>{one.set} <Left one={one} /></h2>
      <p>{[one.landmark, one.tag && w.tag(one.tag), one.target].filter(Boolean).join('; ')}</p>
      <p>{written(one.place)}, {w.accuracy(one.accuracy_m === null ? null : of(one.accuracy_m))}</p>
      <p>{one.stands ? `${one.parcel}: ${w.within[one.stands.side]}, ${w.edge(distance(Math.abs(one.stands.inside_m), units.value))}` : w.noParcel}</p>
      <p>{one.reach ? w.reach(of(one.reach.low_m), of(one.reach.high_m)) : w.reachNone} {one.reach?.said.map((text) => <small key={text}>{text}. </small>)}</p>
      <p class="noprint">
        {one.event && <button type="button" onClick={() => move(one.event!)}>{w.move}</button>}{' '}
        <a href={`#/record/${encodeURIComponent(one.set)}`}>{w.record}</a>
      </p>
    </div>
  );
}

export function ParcelsTable({ told, look }: { told: GroundTold; look: (place: Place) => void }) {
  const w = words.parcels;
  if (told.parcels.length === 0) return <p>{w.none}</p>;
  return (
    <div class="scroll" tabIndex={0} role="group" aria-label={words.tabs.parcels}>
      <table>
        <thead><tr>{w.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
        <tbody>
          {told.parcels.map((one) => (
            <tr key={one.parcel}>
              <th scope="row">
                <button type="button" onClick={() => look(one.area[0]![0]![0]!)}>{one.parcel}</button>
                <br /><small>{one.title} {one.owner} {one.phone}</small>
              </th>
              <td>{one.leave.stands ? '✓' : '✗'} {one.leave.words}</td>
              <td>{one.law.length === 0 ? w.fine : one.law.map((each) => <p key={each.words}><b>{each.holds}</b>: {each.words}</p>)}</td>
              <td>{area(one.area_m2, units.value)}<br /><small>{w.sets(told.sets.filter((each) => each.parcel === one.parcel).length)}</small></td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

interface PlaceRow {
  what: string;
  name: string;
  place: Place;
  event?: string | null;
  drawn?: string | null;
}

const rowsOf = (told: GroundTold): PlaceRow[] => [
  ...told.parkings.map((one) => ({ what: words.parking, name: one.parking, place: one.place, event: one.event })),
  ...told.landmarks.map((one) => ({ what: words.fields.landmark!, name: one.landmark, place: one.place, event: one.event })),
  ...told.features.map((one) => ({ what: words.classes(one.feature), name: one.name, place: firstOf(one.shape.coordinates), drawn: one.drawn })),
  ...told.signs.map((one) => ({ what: words.sign, name: `${one.species} ${one.at.slice(0, 10)}`, place: one.place, event: one.event })),
];
/** The first place of a shape, however deep it lies. */
const firstOf = (found: unknown): Place => (typeof (found as Place)[0] === 'number' ? (found as Place) : firstOf((found as unknown[])[0]));

export function PlacesTable({ told, move, look, again }: { told: GroundTold; move: (event: string) => void; look: (place: Place) => void; again: () => void }) {
  const w = words.places;
  const [filter, setFilter] = useState('');
  const [faults, setFaults] = useState<Fault[]>([]);
  const rows = rowsOf(told).filter((one) => has(filter, one.what, one.name));
  const erase = (drawn: string): void => {
    ask('ground-erase', { drawn }).then(
      async () => {
        setFaults([]);
        await refresh();
        again();
      },
      (reason: unknown) => setFaults(faultsOf(reason)),
    );
  };
  return (
    <>
      <Filter value={filter} set={setFilter} />
      <Faults faults={faults} />
      <div class="scroll" tabIndex={0} role="group" aria-label={words.tabs.places}>
        <table>
          <thead><tr>{w.columns.map((one, place) => <th key={place} scope="col">{one}</th>)}</tr></thead>
          <tbody>
            {rows.slice(0, MOST).map((one, place) => (
              <tr key={place}>
                <td>{one.what}</td>
                <th scope="row"><button type="button" onClick={() => look(one.place)}>{one.name || one.what}</button></th>
                <td class="coords">{brief(one.place)}</td>
                <td class="noprint">
                  {one.event && one.what !== words.sign && <button type="button" aria-label={w.move(one.name)} onClick={() => move(one.event!)}>{words.sets.short}</button>}
                  {one.drawn && <button type="button" aria-label={w.erase(one.name || one.what)} onClick={() => erase(one.drawn!)}>{w.short}</button>}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {rows.length === 0 && <p>{w.none}</p>}
      {rows.length > MOST && <p>{words.rest(rows.length - MOST)}</p>}
      <Setbacks told={told} />
    </>
  );
}

function Setbacks({ told }: { told: GroundTold }) {
  const w = words.places;
  if (told.setbacks.length === 0) return null;
  return (
    <>
      <h2>{w.setbacks}</h2>
      <table>
        <thead><tr>{w.setbackColumns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
        <tbody>
          {told.setbacks.slice(0, MOST).map((one, place) => (
            <tr key={place}><th scope="row">{one.feature}</th><td>{one.law}</td><td>{one.words} <small>{one.rule}</small></td></tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
