/** The view of settings: what a person may change later, and their own word on the law. */
import { useEffect, useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { ask, type Fault } from '../ask';
import { faultsOf, useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { isTold, NOWHERE, PlaceFields, placeText, type PlaceTyped } from '../parts/PlaceFields';
import { line, refresh } from '../state';
import { Confirm } from './Confirm';
import './settings.css';
import { words } from './words';

interface Setting {
  key: string;
  table: string;
  words: string;
  sort: string;
  choices: string[];
  wanted: string;
  value: string;
}

export function Settings({ target }: { target: string }) {
  const held = useAsked<{ settings: Setting[] }>('settings');
  const [values, setValues] = useState<Record<string, string>>({});
  const [faults, setFaults] = useState<Fault[]>([]);
  const [said, setSaid] = useState('');
  const settings = held.data?.settings ?? [];
  const changed = Object.fromEntries(Object.entries(values).filter(([key, value]) => value !== settings.find((one) => one.key === key)?.value));
  const count = Object.keys(changed).length;
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    try {
      await ask('settings-change', { values: changed });
      setSaid(words.saved(count));
      setFaults([]);
      setValues({});
      held.again();
      await refresh();
    } catch (reason) {
      setSaid('');
      setFaults(faultsOf(reason));
    }
  };
  const law = (
    <section class="card" aria-labelledby="law">
      <h2 id="law">{words.profiles}</h2>
      <p>{words.profilesIntro}</p>
      {line.value?.profiles.length === 0 && <p>{words.noProfile}</p>}
      {(line.value?.profiles ?? []).map((one) => <Confirm key={one} profile={one} />)}
    </section>
  );
  return (
    <div class="settings">
      <Heading>{words.title}</Heading>
      <p>{words.intro} {words.available} <a href="#/record/new:available">{words.availableLink}</a>. <a href="#/start">{words.steps}</a></p>
      {target === 'profiles' && law}
      <form onSubmit={(event) => void save(event)}>
        <div class="cards">
          {[...new Set(settings.map((one) => one.table))].map((table) => (
            <section class="card" key={table} aria-labelledby={`table-${table}`}>
              <h2 id={`table-${table}`}>{words.tables[table] ?? table}</h2>
              {settings.filter((one) => one.table === table).map((one) => (
                <One key={one.key} told={one} value={values[one.key] ?? one.value} set={(value) => setValues((before) => ({ ...before, [one.key]: value }))} />
              ))}
            </section>
          ))}
        </div>
        <Faults faults={[...faults, ...held.faults]} />
        <p class="bar"><button class="go" type="submit" disabled={count === 0}>{words.save}</button> <span role="status">{said || (count === 0 ? words.nothing : '')}</span></p>
      </form>
      {target !== 'profiles' && law}
    </div>
  );
}

function One({ told, value, set }: { told: Setting; value: string; set: (value: string) => void }) {
  const id = `setting-${told.key.replace('.', '-')}`;
  if (told.sort === 'place') return <Home value={value} set={set} />;
  const choices = told.sort === 'flag' ? ['yes', 'no'] : told.choices;
  const shared = { id, 'aria-describedby': `${id}-help` };
  return (
    <div class="field">
      <label for={id}>{told.words}</label>
      {choices.length > 0 ? (
        <select {...shared} value={value} onChange={(event) => set(event.currentTarget.value)}>
          <option value="">{words.unsaid}</option>
          {choices.map((one) => <option key={one} value={one}>{one}</option>)}
        </select>
      ) : <input {...shared} value={value} inputMode={told.sort === 'number' ? 'decimal' : undefined} onInput={(event) => set(event.currentTarget.value)} />}
      <small id={`${id}-help`}>{choices.length > 0 || told.sort === 'text' ? '' : words.wanted(told.wanted)}</small>
    </div>
  );
}

/** Longitude comes first in the file, latitude first on the page. */
function Home({ value, set }: { value: string; set: (value: string) => void }) {
  const [place, setPlace] = useState<PlaceTyped>(NOWHERE);
  useEffect(() => {
    const [lon = '', lat = ''] = value.split(',').map((one) => one.trim());
    setPlace({ lon, lat, accuracy: '' });
  }, [value]);
  return (
    <PlaceFields
      name={words.home}
      value={place}
      set={(typed) => {
        setPlace(typed);
        set(isTold(typed) ? placeText({ ...typed, accuracy: '' }).replace(',', ', ') : '');
      }}
    />
  );
}
