/** Bringing files in: handed over, looked at with every fault shown, and taken only when somebody says so. */
import { useRef, useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { ask, drop, type Fault } from '../ask';
import { faultsOf, useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { refresh } from '../state';
import './import.css';
import { words } from './words';

interface Looked {
  files: { file: string; format: string; brought_before: boolean; new: string[]; changed: Record<string, string[]>; gone: string[]; same: number; layers: number; said: string[] }[];
  warnings: string[];
  faults: Fault[];
  would: { kind: string; name: string; from: string; place: [number, number] | null }[];
  more: number;
}
interface Said {
  as: string;
  elevation_unit: string;
  made: string;
}
const NOTHING: Said = { as: '', elevation_unit: '', made: '' };
const told = (said: Said): object => Object.fromEntries(Object.entries(said).filter(([, value]) => value));

export function Import() {
  const ground = useAsked<{ heights: boolean }>('ground');
  const [batch, setBatch] = useState('');
  const [looked, setLooked] = useState<Looked | null>(null);
  const [said, setSaid] = useState<Said>(NOTHING);
  const [busy, setBusy] = useState('');
  const [faults, setFaults] = useState<Fault[]>([]);
  const [done, setDone] = useState('');
  const [over, setOver] = useState(false);
  const turn = useRef(0);
  const asking = async (what: string, does: () => Promise<void>): Promise<void> => {
    setBusy(what);
    setDone('');
    setFaults([]);
    await does().catch((reason: unknown) => setFaults(faultsOf(reason)));
    setBusy('');
  };
  const look = async (held: string, now: Said): Promise<void> => {
    const mine = ++turn.current;
    setBusy(words.looking);
    const found = await ask<Looked>('bring-look', { batch: held, ...told(now) });
    if (mine === turn.current) setLooked(found);
  };
  const take = (files: File[]): void =>
    void asking(words.looking, async () => {
      let held = batch;
      for (const file of files) {
        setBusy(words.sending(file.name));
        const kept = await drop<{ batch: string }>(`bring?name=${encodeURIComponent(file.name)}${held ? `&batch=${held}` : ''}`, file);
        held = kept.batch;
        setBatch(held);
      }
      if (held) await look(held, said);
    });
  const say = (now: Said): void => {
    setSaid(now);
    if (batch) void asking(words.looking, () => look(batch, now));
  };
  const end = (text: string): void => {
    setBatch('');
    setLooked(null);
    setSaid(NOTHING);
    setDone(text);
  };
  const keep = (): void =>
    void asking(words.looking, async () => {
      await ask('bring-take', { batch, ...told(said) });
      end(words.taken);
      await refresh();
    });
  const letGo = (): void =>
    void asking('', async () => {
      await ask('bring-drop', { batch });
      end(words.letGone);
    });
  return (
    <div class="import">
      <Heading>{words.title}</Heading>
      {ground.data?.heights === false && <p class="mark">{words.heights}</p>}
      <div
        class={`drop ${over ? 'over' : ''}`}
        onDragOver={(event) => { event.preventDefault(); setOver(true); }}
        onDragLeave={() => setOver(false)}
        onDrop={(event) => { event.preventDefault(); setOver(false); take([...(event.dataTransfer?.files ?? [])]); }}
      >
        <p>{words.how}</p>
        <label>{words.choose} <input type="file" multiple disabled={busy !== ''} onChange={(event) => { take([...(event.currentTarget.files ?? [])]); event.currentTarget.value = ''; }} /></label>
        <p><small>{words.what}</small></p>
      </div>
      <p role="status">{busy || done}</p>
      <Faults faults={faults} />
      {batch && <Options said={said} set={say} />}
      {looked && <LookedAt looked={looked} />}
      {looked && (
        <p>
          <button type="button" class="go" disabled={busy !== '' || looked.faults.length > 0} onClick={keep}>{words.take}</button>{' '}
          <button type="button" disabled={busy !== ''} onClick={letGo}>{words.drop}</button>
        </p>
      )}
    </div>
  );
}

function Options({ said, set }: { said: Said; set: (said: Said) => void }) {
  const choice = (key: 'as' | 'elevation_unit', name: string, words_: Record<string, string>) => (
    <label>
      {name}{' '}
      <select value={said[key]} onChange={(event) => set({ ...said, [key]: event.currentTarget.value })}>
        {Object.entries(words_).map(([word, shown]) => <option key={word} value={word}>{shown}</option>)}
      </select>
    </label>
  );
  return (
    <div class="card">
      {choice('as', words.as, words.kinds)}
      {choice('elevation_unit', words.unit, words.units)}
      <label>{words.made} <input value={said.made} onChange={(event) => set({ ...said, made: event.currentTarget.value })} /> <small>{words.madeHint}</small></label>
    </div>
  );
}

function LookedAt({ looked }: { looked: Looked }) {
  const wrong = looked.faults.length;
  return (
    <section class="card" aria-live="polite">
      {wrong > 0 && <p class="alarm"><b>{words.faults(wrong)}</b></p>}
      <Faults faults={looked.faults} />
      {looked.files.length > 0 && <p><b>{wrong ? words.good : words.fine}</b></p>}
      {looked.files.length > 0 && (
        <table>
          <thead><tr>{words.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
          <tbody>
            {looked.files.map((one) => (
              <tr key={one.file}>
                <th scope="row">{one.file} {one.brought_before && <small>{words.before}</small>}</th>
                <td>{one.format}</td>
                <td>{comesTo(one)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {looked.warnings.length > 0 && <><h2>{words.warnings}</h2><ul>{looked.warnings.map((one) => <li key={one}>{one}</li>)}</ul></>}
      {looked.would.length > 0 && <Would looked={looked} />}
    </section>
  );
}

function comesTo(one: Looked['files'][number]): string {
  const changed = Object.entries(one.changed);
  const parts = [
    ...one.said, one.new.length ? words.new(one.new.length) : '', changed.length ? `${words.changed(changed.length)}: ${changed.map(([name, what]) => `${name} ${what.join(', ')}`).join('; ')}` : '',
    one.same ? words.same(one.same) : '', one.layers ? words.layers(one.layers) : '', one.gone.length ? words.gone(one.gone.join(', ')) : '',
  ].filter(Boolean);
  return parts.join('; ') || words.nothing;
}

function Would({ looked }: { looked: Looked }) {
  return (
    <details>
      <summary>{words.would} ({looked.would.length + looked.more})</summary>
      <div class="scroll" tabIndex={0} role="group" aria-label={words.would}>
        <table>
          <thead><tr>{words.wouldColumns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
          <tbody>
            {looked.would.map((one, place) => (
              <tr key={place}>
                <td>{one.kind}</td>
                <th scope="row">{one.name}</th>
                <td>{one.from}</td>
                <td>{one.place?.map((each) => each.toFixed(6)).join(',')}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {looked.more > 0 && <p>{words.more(looked.more)}</p>}
    </details>
  );
}
