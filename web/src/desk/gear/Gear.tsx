/** The view of gear: builds as files of the line folder, what each comes to, parts and stock. */
import { useEffect, useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { ask, type Fault } from '../ask';
import { faultsOf, useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { useSettled } from '../settled';
import { units } from '../state';
import { Chain } from './Chain';
import './gear.css';
import { Laid, Laws } from './Laid';
import { Parts } from './Parts';
import { Stock } from './Stock';
import type { BuildOne, BuildTold } from './told';
import { words } from './words';

const FOLDER = 'builds/';

export function Gear({ target }: { target: string }) {
  const builds = useAsked<{ builds: BuildOne[]; beginning: string }>('gear-builds');
  const [file, setFile] = useState<string | null>(null);
  const [text, setText] = useState('');
  const held = builds.data;
  const choose = (name: string, from = held): void => {
    setFile(name);
    setText(from?.builds.find((one) => one.file === name)?.text ?? from?.beginning ?? '');
  };
  useEffect(() => {
    if (held !== null && file === null) choose(held.builds.find((one) => one.file === target)?.file ?? held.builds[0]?.file ?? '', held);
  }, [held]);
  const settled = useSettled(text, 500);
  const named = file || `${FOLDER}new.toml`;
  return (
    <div class="gear">
      <Heading>{words.title}</Heading>
      <Faults faults={builds.faults} />
      {held !== null && file !== null && (
        <div class="bench">
          <Editor held={held} file={file} text={text} choose={choose} setText={setText} onKept={(name) => { setFile(name); builds.again(); }} />
          <div>{settled && <Comes file={named} text={settled} />}</div>
        </div>
      )}
      {settled && file !== null && <Parts file={named} text={settled} />}
      <Stock />
    </div>
  );
}

interface Edited {
  held: { builds: BuildOne[] };
  file: string;
  text: string;
  choose: (file: string) => void;
  setText: (text: string) => void;
  onKept: (file: string) => void;
}

function Editor({ held, file, text, choose, setText, onKept }: Edited) {
  const [name, setName] = useState('');
  const [said, setSaid] = useState('');
  const [faults, setFaults] = useState<Fault[]>([]);
  useEffect(() => setName(file), [file]);
  const kept = held.builds.find((one) => one.file === file);
  const path = name.includes('/') || held.builds.some((one) => one.file === name) ? name : `${FOLDER}${name}`;
  const whole = path.endsWith('.toml') ? path : `${path}.toml`;
  const keep = (event: Event): void => {
    event.preventDefault();
    ask<{ file: string }>('gear-keep', { file: whole, text }).then(
      (found) => {
        setFaults([]);
        setSaid(words.kept(found.file));
        onKept(found.file);
      },
      (reason: unknown) => {
        setSaid('');
        setFaults(faultsOf(reason));
      },
    );
  };
  const edited = kept === undefined || kept.text !== text;
  return (
    <form class="card editor noprint" onSubmit={keep}>
      <label class="wide">
        {words.build}
        <select value={file} onChange={(event) => { setSaid(''); setFaults([]); choose(event.currentTarget.value); }}>
          {held.builds.map((one) => <option key={one.file} value={one.file}>{one.file}</option>)}
          <option value="">{words.fresh}</option>
        </select>
      </label>
      {held.builds.length === 0 && <p>{words.none}</p>}
      <label class="wide">
        {words.text}
        <textarea rows={18} spellcheck={false} value={text} onInput={(event) => { setSaid(''); setText(event.currentTarget.value); }} />
      </label>
      <label class="wide">{words.name}<input value={name} onInput={(event) => setName(event.currentTarget.value)} /></label>
      <p role="status">{said || (edited ? words.unkept : '')}</p>
      <button type="submit" class="go" disabled={!name || (!edited && whole === file)}>
        {held.builds.some((one) => one.file === whole) ? words.replace : words.keep}
      </button>{' '}
      {kept && edited && <button type="button" onClick={() => choose(file)}>{words.undo}</button>}
      <Faults faults={faults} />
    </form>
  );
}

function Comes({ file, text }: { file: string; text: string }) {
  const told = useAsked<BuildTold>('gear-build', { file, text, units: units.value });
  const data = told.faults.length === 0 ? told.data : null;
  return (
    <div class="comes" data-ready={!told.busy ? 'yes' : undefined}>
      <Faults faults={told.faults} />
      {data && (
        <>
          <Laid told={data} />
          <Chain told={data.chain} />
          <Laws laws={data.laws} />
        </>
      )}
    </div>
  );
}
