/** A form made of named fields; what the machine says no to stands beside the field it is about. */
import type { Fault } from '../ask';
import { Faults } from '../parts/Faults';
import { words } from './words';

export interface FieldOf {
  name: string;
  /** Words to choose from, with what is shown for each; free text without. */
  choices?: [string, string][];
  needed?: boolean;
}
export type Values = Record<string, string>;

const option = (name: string): string => name.replace(/_(m|ft)$/, '').replace(/_/g, '-');

/** The field a fault is about: by the option or the name it stands at, or names. */
export function fieldOf(fault: Fault, names: string[]): string | undefined {
  if (fault.where === '--at-place' || fault.do.includes('--at-place') || fault.where === '--place' || fault.where === 'places') return 'places';
  return names.find((name) => [name, option(name), `--${option(name)}`].includes(fault.where) || fault.what.includes(`'${name}'`));
}

/** The same fault as somebody reads it who never saw the command line. */
const plain = (text: string): string => text.replace(/--at-place\s*/g, '').replace(/--([a-z-]+)/g, (_, name: string) => words.fields[name.replace(/-/g, '_')] ?? name);

export function Form({ fields, values, set, faults }: { fields: FieldOf[]; values: Values; set: (values: Values) => void; faults: Fault[] }) {
  const names = fields.map((one) => one.name);
  const rest = faults.filter((one) => fieldOf(one, names) === undefined);
  return (
    <>
      {fields.map((one) => {
        const mine = faults.filter((fault) => fieldOf(fault, names) === one.name);
        return <Field key={one.name} of={one} value={values[one.name] ?? ''} set={(value) => set({ ...values, [one.name]: value })} faults={mine} />;
      })}
      <Faults faults={rest} />
    </>
  );
}

function Field({ of, value, set, faults }: { of: FieldOf; value: string; set: (value: string) => void; faults: Fault[] }) {
  const id = `field-${of.name}`;
  const about = { id, name: of.name, 'aria-invalid': faults.length > 0, 'aria-describedby': faults.length ? `${id}-no` : undefined, required: of.needed };
  return (
    <div class="field">
      <label for={id}>{words.fields[of.name] ?? of.name}</label>
      {of.choices ? (
        <select {...about} value={value} onChange={(event) => set(event.currentTarget.value)}>
          {of.choices.map(([word, shown]) => <option key={word} value={word}>{shown}</option>)}
        </select>
      ) : (
        <input {...about} value={value} autocomplete="off" onInput={(event) => set(event.currentTarget.value)} />
      )}
      <Wrong id={`${id}-no`} faults={faults} />
    </div>
  );
}

/** What is wrong with one field. */
export function Wrong({ id, faults }: { id: string; faults: Fault[] }) {
  if (!faults.length) return null;
  return <p id={id} class="wrong" role="alert">{faults.map((one) => `${one.what} ${plain(one.do)}`).join(' ')}</p>;
}
