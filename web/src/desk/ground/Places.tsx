/** One place or several, clicked on the map or written down: the same field for both. */
import type { Fault } from '../ask';
import { Wrong } from './Form';
import { words } from './words';

const w = words.add;

export function Places({ many, value, set, faults = [] }: { many: boolean; value: string; set: (value: string) => void; faults?: Fault[] }) {
  const about = { id: 'field-places', 'aria-describedby': 'places-hint', 'aria-invalid': faults.length > 0, value };
  return (
    <div class="field">
      <label for="field-places">{many ? w.many : w.one}</label>
      {many
        ? <textarea {...about} rows={Math.min(8, Math.max(3, value.split('\n').length))} onInput={(event) => set(event.currentTarget.value)} />
        : <input {...about} autocomplete="off" onInput={(event) => set(event.currentTarget.value)} />}
      <p id="places-hint"><small>{many ? w.manyHint : w.oneHint} {w.middle}</small></p>
      {many && (
        <p>
          <button type="button" disabled={!value} onClick={() => set(value.trimEnd().split('\n').slice(0, -1).join('\n'))}>{w.undo}</button>{' '}
          <button type="button" disabled={!value} onClick={() => set('')}>{w.clear}</button>
        </p>
      )}
      <Wrong id="places-no" faults={faults} />
    </div>
  );
}
