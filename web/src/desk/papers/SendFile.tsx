/** Files for other programs: places are blurred unless exact ones are asked for. */
import { useState } from 'preact/hooks';
import { ask, askFile, type Fault } from '../ask';
import { faultsOf } from '../asked';
import { Faults } from '../parts/Faults';
import { FileLinks } from './FileLinks';
import { words } from './words';

interface Written {
  file: string;
  grid_m: number | null;
  held: Record<string, number>;
  lost: { what: string; count: number; why: string }[];
}

export function SendFile({ names }: { names: Record<string, string[]> }) {
  const [form, setForm] = useState('gpx');
  const [exact, setExact] = useState(false);
  const [grid, setGrid] = useState('');
  const [parcels, setParcels] = useState<string[]>([]);
  const [written, setWritten] = useState<Written | null>(null);
  const [faults, setFaults] = useState<Fault[]>([]);
  const write = (event: Event): void => {
    event.preventDefault();
    setWritten(null);
    ask<Written>('send', { form, exact, ...(grid.trim() && !exact ? { grid } : {}), parcels }).then(
      (found) => {
        setWritten(found);
        setFaults([]);
      },
      (reason: unknown) => setFaults(faultsOf(reason)),
    );
  };
  return (
    <details class="card">
      <summary>{words.send.title}</summary>
      <form onSubmit={write}>
        <label>{words.send.form}{' '}
          <select value={form} onChange={(event) => setForm(event.currentTarget.value)}>
            {Object.entries(words.send.forms).map(([one, shown]) => <option key={one} value={one}>{shown}</option>)}
          </select>
        </label>
        <p><label><input type="checkbox" checked={exact} onChange={(event) => setExact(event.currentTarget.checked)} /> {words.send.exact}</label></p>
        {!exact && <label>{words.send.grid} <input size={8} placeholder={words.send.gridHint} value={grid} onInput={(event) => setGrid(event.currentTarget.value)} /></label>}
        {(names.parcel ?? []).length > 0 && (
          <fieldset>
            <legend>{words.send.parcels}</legend>
            {names.parcel!.map((one) => (
              <label key={one}><input type="checkbox" checked={parcels.includes(one)} onChange={(event) => setParcels(event.currentTarget.checked ? [...parcels, one] : parcels.filter((other) => other !== one))} /> {one}</label>
            ))}
          </fieldset>
        )}
        <button type="submit">{words.send.make}</button>
        <Faults faults={faults} />
        {written && (
          <div role="status">
            <p>{Object.entries(written.held).map(([what, count]) => words.send.held(count, what)).join(', ')}. {form !== 'ics' && words.send.places(written.grid_m)}</p>
            <ul>{written.lost.map((one) => <li key={one.what}>{words.send.lost(one.count, one.what, one.why)}</li>)}</ul>
            <FileLinks get={() => askFile('sent', { name: written.file })} name={written.file} save={words.send.save(written.file)} />
          </div>
        )}
      </form>
    </details>
  );
}
