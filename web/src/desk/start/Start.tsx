/** The view in which a line begins: a form when the folder holds none, and after that what it needs next. */
import { useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { ask, type Fault } from '../ask';
import { faultsOf, useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { isTold, lonLat, NOWHERE, PlaceFields } from '../parts/PlaceFields';
import { go, line, refresh, units } from '../state';
import { Profile, type ProfileTold } from './Profile';
import { Steps } from './Steps';
import './start.css';
import { words } from './words';

export function Start() {
  return line.value?.begun ? (
    <>
      <Heading>{words.next}</Heading>
      <Steps />
    </>
  ) : <Begin />;
}

const HERE = Intl.DateTimeFormat().resolvedOptions().timeZone;
const ZONES = [...new Set([HERE, ...Intl.supportedValuesOf('timeZone')])].sort();

function Begin() {
  const [told, setTold] = useState({ name: '', handler: '', zone: HERE, units: units.value, profile: '' });
  const [home, setHome] = useState(NOWHERE);
  const [faults, setFaults] = useState<Fault[]>([]);
  const [busy, setBusy] = useState(false);
  const profiles = useAsked<{ profiles: ProfileTold[] }>('profiles', { zone: HERE });
  const chosen = profiles.data?.profiles.find((one) => one.id === told.profile);
  const begin = async (event: Event): Promise<void> => {
    event.preventDefault();
    const place = isTold(home) ? lonLat(home) : null;
    if (place?.some(Number.isNaN)) {
      setFaults([{ code: '', what: words.placeWrong, where: '', do: '' }]);
      return;
    }
    setBusy(true);
    try {
      const { profile, ...asked } = told;
      await ask('start', { ...asked, profiles: profile ? [profile] : [], ...(place ? { home: place } : {}) });
      units.value = told.units;
      await refresh();
      go('start');
    } catch (reason) {
      setFaults(faultsOf(reason));
    } finally {
      setBusy(false);
    }
  };
  return (
    <div class="start">
      <Heading>{words.title}</Heading>
      <p>{words.intro(line.value?.folder ?? '')}</p>
      <form onSubmit={(event) => void begin(event)}>
        <div class="columns">
          <section class="card">
            <label class="wide">{words.name}<input required value={told.name} onInput={(event) => setTold({ ...told, name: event.currentTarget.value })} /></label>
            <label class="wide">{words.handler}<input required autocomplete="name" value={told.handler} onInput={(event) => setTold({ ...told, handler: event.currentTarget.value })} /></label>
            <label>{words.zone}{' '}
              <select value={told.zone} onChange={(event) => setTold({ ...told, zone: event.currentTarget.value })}>
                {ZONES.map((one) => <option key={one} value={one}>{one}</option>)}
              </select>
            </label>
            <p><small>{words.zoneHint}</small></p>
            <label>{words.units}{' '}
              <select value={told.units} onChange={(event) => setTold({ ...told, units: event.currentTarget.value as 'us' | 'metric' })}>
                <option value="us">{words.us}</option>
                <option value="metric">{words.metric}</option>
              </select>
            </label>
            <PlaceFields name={words.home} value={home} set={setHome} />
          </section>
          <section class="card">
            <h2>{words.law}</h2>
            <label class="wide">{words.profile}
              <select value={told.profile} onChange={(event) => setTold({ ...told, profile: event.currentTarget.value })}>
                <option value="">{words.noProfile}</option>
                {(profiles.data?.profiles ?? []).map((one) => (
                  <option key={one.id} value={one.id}>{one.title}{one.invented ? ` (${words.invented})` : ''}</option>
                ))}
              </select>
            </label>
            {chosen ? <Profile told={chosen} /> : <p><small>{words.draft}</small></p>}
          </section>
        </div>
        <Faults faults={[...faults, ...profiles.faults]} />
        <button class="go" type="submit" disabled={busy}>{words.begin}</button>
      </form>
    </div>
  );
}
