/** One field of an event, in the form that fits what it holds, with its help beside it. */
import { fieldName, type FieldTold, type Names } from './form';
import { words } from './words';

const MANY_LINES = new Set(['note', 'why', 'outline']);

interface Props {
  told: FieldTold;
  value: string;
  set: (value: string) => void;
  names: Names;
  needed?: boolean;
  hint?: string;
}

export function Field({ told, value, set, names, needed = told.required, hint = '' }: Props) {
  const id = `field-${told.field}`;
  const help = [told.words, told.example && words.form.such(told.example), told.type === 'lengths by name' && told.choices.length ? words.form.oneOf(told.choices.join(', ')) : '', hint]
    .filter(Boolean)
    .join(' ');
  if (told.type === 'some of a list') return <Some told={told} value={value} set={set} help={help} />;
  const shared = { id, 'aria-describedby': `${id}-help`, required: needed };
  return (
    <div class="field">
      <label for={id}>{fieldName(told.field)} {needed && <small>({words.form.needed})</small>}</label>
      {told.type === 'one of a list' || told.type === 'yes or no' ? (
        <select {...shared} value={value} onChange={(event) => set(event.currentTarget.value)}>
          <option value="">{words.form.unsaid}</option>
          {told.type === 'yes or no' ? <><option value="yes">{words.form.yes}</option><option value="no">{words.form.no}</option></>
            : told.choices.map((one) => <option key={one} value={one}>{one}</option>)}
        </select>
      ) : MANY_LINES.has(told.field) ? (
        <textarea {...shared} rows={2} value={value} onInput={(event) => set(event.currentTarget.value)} />
      ) : (
        <input {...shared} type={told.type === 'date' ? 'date' : 'text'} value={value} list={names[told.field] ? `names-${told.field}` : undefined} autocomplete="off" onInput={(event) => set(event.currentTarget.value)} />
      )}
      <small id={`${id}-help`}>{help}</small>
    </div>
  );
}

function Some({ told, value, set, help }: { told: FieldTold; value: string; set: (value: string) => void; help: string }) {
  const chosen = value ? value.split(', ') : [];
  return (
    <fieldset class="field">
      <legend>{fieldName(told.field)}</legend>
      {told.choices.map((one) => (
        <label key={one}>
          <input
            type="checkbox"
            checked={chosen.includes(one)}
            onChange={(event) => set((event.currentTarget.checked ? [...chosen, one] : chosen.filter((other) => other !== one)).join(', '))}
          />{' '}{one}
        </label>
      ))}
      <small>{help}</small>
    </fieldset>
  );
}

/** The names on record, offered while typing. */
export function Offered({ names }: { names: Names }) {
  return (
    <>
      {Object.entries(names).map(([field, found]) => (
        <datalist key={field} id={`names-${field}`}>{found.map((one) => <option key={one} value={one} />)}</datalist>
      ))}
    </>
  );
}
