/** One thing that may be said of a paper, in the form that fits it. */
import { words } from './words';

export interface OptionTold {
  name: string;
  words: string;
  sort: string;
  needed: boolean;
}

export function Option({ told, names, value, set }: { told: OptionTold; names: Record<string, string[]>; value: string; set: (value: string) => void }) {
  const id = `option-${told.name}`;
  const name = words.options[told.name] ?? told.name;
  const found = names[told.sort.replace(/s$/, '')];
  const shared = { id, required: told.needed, 'aria-describedby': `${id}-help` };
  const typed = (event: { currentTarget: { value: string } }): void => set(event.currentTarget.value);
  if (told.sort === 'flag') {
    return (
      <p><label><input type="checkbox" checked={value === 'yes'} aria-describedby={`${id}-help`} onChange={(event) => set(event.currentTarget.checked ? 'yes' : '')} /> {name}</label> <small id={`${id}-help`}>{told.words}</small></p>
    );
  }
  return (
    <div class="field">
      <label for={id}>{name} {told.needed && <small>({words.needed})</small>}</label>
      {told.sort === 'lines' ? <textarea {...shared} rows={2} value={value} onInput={typed} />
        : (told.sort === 'set' || told.sort === 'parcel') && found ? (
          <select {...shared} value={value} onChange={typed}>
            <option value="" />
            {found.map((one) => <option key={one} value={one}>{one}</option>)}
          </select>
        ) : told.sort === 'day' ? <input {...shared} type="date" value={value} onInput={typed} />
        : <input {...shared} value={value} onInput={typed} />}
      <small id={`${id}-help`}>{told.words}</small>
    </div>
  );
}
