/** Undoing by correction: new values for an event, or that it never happened; what was written stays on record. */
import { useRef, useState } from 'preact/hooks';
import { uuid7 } from '../../wire/event';
import { ask, Refused, type Fault } from '../ask';
import { faultsOf } from '../asked';
import { Faults } from '../parts/Faults';
import { isTold, NOWHERE, PlaceFields, placeText } from '../parts/PlaceFields';
import { refresh, units } from '../state';
import type { EntryTold } from './Entry';
import { Field } from './Field';
import { told as worded, type KindTold } from './form';
import { speaker } from './speaker';
import { words } from './words';

/** Sends once however often it is pressed; says so when the answer was lost. */
function useSend(done: () => void): { send: (name: string, body: object) => void; faults: Fault[]; busy: boolean } {
  const [faults, setFaults] = useState<Fault[]>([]);
  const [busy, setBusy] = useState(false);
  const id = useRef(uuid7(Date.now()));
  const send = (name: string, body: object): void => {
    setBusy(true);
    ask(name, { ...body, id: id.current, by: speaker() })
      .then(async () => {
        done();
        await refresh();
      })
      .catch((reason: unknown) => {
        const lost = reason instanceof Refused && reason.status === 0;
        setFaults([...faultsOf(reason), ...(lost ? [{ code: '', what: words.form.lost, where: '', do: '' }] : [])]);
        setBusy(false);
      });
  };
  return { send, faults, busy };
}

function Why({ value, set }: { value: string; set: (value: string) => void }) {
  return <label class="wide">{words.entry.whyAsked}<input required value={value} onInput={(event) => set(event.currentTarget.value)} /></label>;
}

export function Void({ of, title, done }: { of: string; title: string; done: () => void }) {
  const [why, setWhy] = useState('');
  const { send, faults, busy } = useSend(done);
  return (
    <form class="card" aria-label={title} onSubmit={(event) => { event.preventDefault(); send('note', { kind: 'void', subject: of, given: { why } }); }}>
      <p>{words.entry.stays}</p>
      <Why value={why} set={setWhy} />
      <Faults faults={faults} />
      <button class="go" type="submit" disabled={busy}>{title}</button>
    </form>
  );
}

export function Correct({ told, kind, done }: { told: EntryTold; kind: KindTold; done: () => void }) {
  const now = told.now?.body ?? told.body;
  const [values, setValues] = useState<Record<string, string>>({});
  const [gone, setGone] = useState<string[]>([]);
  const [happened, setHappened] = useState('');
  const [place, setPlace] = useState(NOWHERE);
  const [why, setWhy] = useState('');
  const { send, faults, busy } = useSend(done);
  const changes = { ...Object.fromEntries(Object.entries(values).filter(([, value]) => value.trim())), ...Object.fromEntries(gone.map((one) => [one, 'none'])) };
  const some = Object.keys(changes).length > 0 || happened.trim() !== '' || isTold(place);
  const fields = [...kind.fields.filter((one) => one.field in now), ...kind.fields.filter((one) => !(one.field in now))];
  const shown = (one: (typeof fields)[number]) => (
    <div key={one.field}>
      <Field told={one} needed={false} names={{}} value={values[one.field] ?? ''} set={(value) => setValues({ ...values, [one.field]: value })} hint={one.field in now ? words.entry.isNow(worded(one.field, now[one.field], units.value)) : ''} />
      {one.field in now && !one.required && (
        <label><input type="checkbox" checked={gone.includes(one.field)} onChange={(event) => setGone(event.currentTarget.checked ? [...gone, one.field] : gone.filter((other) => other !== one.field))} /> {words.entry.takeAway}</label>
      )}
    </div>
  );
  return (
    <form
      class="card note"
      aria-label={words.entry.correct}
      onSubmit={(event) => {
        event.preventDefault();
        send('correct', { of: told.id, changes, why, ...(happened.trim() ? { happened_at: happened } : {}), ...(isTold(place) ? { place: placeText(place) } : {}) });
      }}
    >
      <p>{words.entry.how}</p>
      <div class="fields">{fields.filter((one) => one.field in now).map(shown)}</div>
      <details>
        <summary>{words.entry.others}</summary>
        <div class="fields">{fields.filter((one) => !(one.field in now)).map(shown)}</div>
        <label class="wide">{words.form.happened}<input value={happened} onInput={(event) => setHappened(event.currentTarget.value)} /></label>
        <PlaceFields name={words.form.place} value={place} set={setPlace} accuracy />
      </details>
      <Why value={why} set={setWhy} />
      <Faults faults={faults} />
      <button class="go" type="submit" disabled={busy || !some}>{words.entry.keep}</button>
    </form>
  );
}
