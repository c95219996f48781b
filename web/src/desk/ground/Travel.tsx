/** Long work on the ground: how far one gets on foot, and where the land pinches travel. */
import { useEffect, useState } from 'preact/hooks';
import { area } from '../../units';
import { useWork } from '../asked';
import { WorkBar } from '../parts/WorkBar';
import { units } from '../state';
import { type GroundTold, type Layer, type OnFoot } from './told';
import { words } from './words';

export function FootPanel({ told, foot }: { told: GroundTold; foot: ReturnType<typeof useWork<OnFoot>> }) {
  const w = words.foot;
  const starts = [...told.parkings.map((one) => one.parking), ...told.sets.map((one) => one.set)];
  const [start, setStart] = useState(starts[0] ?? '');
  const [dark, setDark] = useState(false);
  const { answer } = foot;
  if (!told.heights) return <p>{w.needs} {words.heightsHow} <a href="#/import">{words.bring}</a></p>;
  return (
    <>
      <form onSubmit={(event) => { event.preventDefault(); foot.begin({ starts: start.split(';').map((one) => one.trim()).filter(Boolean), dark }); }}>
        <div class="field">
          <label for="foot-from">{w.from}</label>
          <input id="foot-from" list="foot-starts" value={start} placeholder={w.other} onInput={(event) => setStart(event.currentTarget.value)} />
          <datalist id="foot-starts">{starts.map((one) => <option key={one} value={one} />)}</datalist>
        </div>
        <label><input type="checkbox" checked={dark} onChange={(event) => setDark(event.currentTarget.checked)} /> {w.dark}</label>
        <button type="submit" class="go" disabled={!start}>{w.go}</button>
      </form>
      <WorkBar working={foot} />
      {answer && (
        <>
          <h2>{w.from} {answer.starts.map((one) => one.name).join(', ')}</h2>
          <table>
            <thead><tr>{w.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
            <tbody>
              {answer.bands.features.map(({ properties: { from_min: from, to_min: to, area_ha: hectares } }) => (
                <tr key={to}>
                  <th scope="row">{from} – {to}</th>
                  <td>{area(Number(hectares) * 10_000, units.value)}</td>
                  <td>{within(answer.sets, Number(from), Number(to)).join(', ')}</td>
                </tr>
              ))}
            </tbody>
          </table>
          {answer.said.map((one) => <p key={one}><small>{one}</small></p>)}
        </>
      )}
    </>
  );
}

const within = (sets: OnFoot['sets'], from: number, to: number): string[] =>
  sets.filter(({ walk_min: minutes }) => minutes !== null && minutes >= from && (minutes < to || to === 60)).map(({ set }) => set);

export function ScoutPanel({ told, scouted, again }: { told: GroundTold; scouted: { name: string; file: string; layer: Layer }[]; again: () => void }) {
  const w = words.scout;
  const work = useWork<object>('scout');
  const [animal, setAnimal] = useState(w.animals[0]!);
  const done = work.work?.state === 'done' ? work.work.id : '';
  useEffect(() => void (done && again()), [done]);
  const spots = scouted.flatMap((one) => one.layer.features.map((each) => each.properties).filter((each) => each.what === 'pinch point'));
  return (
    <>
      <p><small>{w.hint}</small></p>
      {told.heights ? (
        <form onSubmit={(event) => { event.preventDefault(); work.begin({ animal }); }}>
          <div class="field">
            <label for="scout-animal">{w.animal}</label>
            <select id="scout-animal" value={animal} onChange={(event) => setAnimal(event.currentTarget.value)}>
              {w.animals.map((one) => <option key={one} value={one}>{one}</option>)}
            </select>
          </div>
          <button type="submit" class="go">{w.go}</button>
        </form>
      ) : <p>{words.heightsHow} <a href="#/import">{words.bring}</a></p>}
      <WorkBar working={work} />
      {scouted.length === 0 ? <p>{w.none}</p> : scouted.map((one) => <p key={one.file}><small>{w.kept(one.file)}</small></p>)}
      {spots.map((one) => (
        <p key={`${one.animal} ${one.name}`}><b>{one.name}</b> ({one.animal}): {one.why}. {one.leave}. {one.law}</p>
      ))}
    </>
  );
}
