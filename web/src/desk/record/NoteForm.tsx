/** Noting an event of any kind: one form made from the kinds of the logbook; sent twice, it is kept once. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { uuid7 } from '../../wire/event';
import { ask, askWhole, me, Refused, type Fault } from '../ask';
import { faultsOf } from '../asked';
import { Faults } from '../parts/Faults';
import { isTold, NOWHERE, PlaceFields, placeText } from '../parts/PlaceFields';
import { go, line, refresh } from '../state';
import { Field, Offered } from './Field';
import { kindName, type KindTold, type Names } from './form';
import { words } from './words';

/** Fields shown before the rest is folded away. */
const SHOWN = 8;

/** Who sits here: whoever this browser was let in for; on a line begun in it, its handler. */
const speaker = (): string => {
  const person = me.value?.person ?? '';
  return person === '' || person === 'handler' ? line.value?.handler || person : person;
};

interface Kept {
  kept: { id: string; kind: string; body: Record<string, unknown> }[];
}

export function NoteForm({ kinds, kind, subject }: { kinds: KindTold[]; kind: string; subject: string }) {
  const told = kinds.find((one) => one.kind === kind) ?? kinds[0]!;
  const [values, setValues] = useState<Record<string, string>>({});
  const [place, setPlace] = useState(NOWHERE);
  const [happened, setHappened] = useState('');
  const [by, setBy] = useState(speaker());
  const [names, setNames] = useState<Names>({});
  const [faults, setFaults] = useState<Fault[]>([]);
  const [said, setSaid] = useState<string[]>([]);
  const [busy, setBusy] = useState(false);
  const id = useRef(uuid7(Date.now()));
  useEffect(() => {
    setValues(subject ? { [told.subject]: subject } : {});
    setFaults([]);
    id.current = uuid7(Date.now());
    ask<{ names: Names }>('names').then((found) => setNames(found.names), () => undefined);
  }, [told.kind, subject]);
  const set = (field: string) => (value: string): void => setValues((before) => ({ ...before, [field]: value }));
  const keep = async (fine: boolean): Promise<void> => {
    setBusy(true);
    setSaid([]);
    const given = Object.fromEntries(Object.entries(values).filter(([field, value]) => value.trim() !== '' && field !== told.subject));
    try {
      const answer = await askWhole<Kept>('note', {
        id: id.current, kind: told.kind, subject: values[told.subject] ?? '', given, by, fine,
        ...(happened.trim() ? { happened } : {}), ...(isTold(place) ? { place: placeText(place) } : {}),
      });
      const { kept } = answer.answer;
      setSaid([words.form.kept(kept.map((one) => `${kindName(one.kind)} ${String(one.body[told.subject] ?? '')}`.trim()).join(', ')), ...answer.warnings]);
      setFaults([]);
      setValues({});
      setPlace(NOWHERE);
      id.current = uuid7(Date.now());
      await refresh();
    } catch (reason) {
      const lost = reason instanceof Refused && reason.status === 0;
      setFaults([...faultsOf(reason), ...(lost ? [{ code: '', what: words.form.lost, where: '', do: '' }] : [])]);
    } finally {
      setBusy(false);
    }
  };
  const fields = told.kind === 'correction' ? [] : told.fields;
  const first = [...fields.filter((one) => one.required), ...fields.filter((one) => !one.required)].slice(0, Math.max(SHOWN, fields.filter((one) => one.required).length));
  const rest = fields.filter((one) => !first.includes(one));
  const shown = (one: (typeof fields)[number]) => <Field key={one.field} told={one} value={values[one.field] ?? ''} set={set(one.field)} names={names} />;
  return (
    <form class="note card" onSubmit={(event) => { event.preventDefault(); void keep(false); }}>
      <label>{words.form.kind}{' '}
        <select value={told.kind} onChange={(event) => go('record', `new:${event.currentTarget.value}`)}>
          {kinds.filter((one) => one.kind !== 'correction').map((one) => <option key={one.kind} value={one.kind}>{kindName(one.kind)}</option>)}
        </select>
      </label>
      <p>{told.words}</p>
      <div class="fields">{first.map(shown)}</div>
      <PlaceFields name={told.needs_place ? words.form.placeNeeded : words.form.place} value={place} set={setPlace} accuracy />
      <div class="fields">
        <div class="field">
          <label for="happened">{words.form.happened}</label>
          <input id="happened" value={happened} aria-describedby="happened-help" onInput={(event) => setHappened(event.currentTarget.value)} />
          <small id="happened-help">{words.form.happenedHint}</small>
        </div>
        <div class="field">
          <label for="by">{words.form.by}</label>
          <input id="by" value={by} onInput={(event) => setBy(event.currentTarget.value)} />
        </div>
      </div>
      {rest.length > 0 && (
        <details>
          <summary>{words.form.more(rest.length)}</summary>
          <div class="fields">{rest.map(shown)}</div>
        </details>
      )}
      <Offered names={names} />
      <Faults faults={faults} />
      <p class="said" role="status">{said.join(' ')}</p>
      <p>
        {told.kind === 'check' && <button type="button" disabled={busy || !values[told.subject]} onClick={() => void keep(true)}>{words.form.fine}</button>}{' '}
        <button class="go" type="submit" disabled={busy}>{busy ? words.form.saving : words.form.save}</button>{' '}
        <a href="#/record">{words.back}</a> · <a href="#/start">{words.form.steps}</a>
      </p>
    </form>
  );
}
