/** A small length that can be typed or pulled: the number and the slider are one value, kept in metres. */
import { useState } from 'preact/hooks';
import { smallMetres, smallNumber, smallUnit } from '../../units';
import { units } from '../state';

interface Asked {
  label: string;
  slider: string;
  value: number | null;
  most: number;
  set: (metres: number | null) => void;
  /** Nothing is an answer too. */
  empty?: boolean;
}

export function Length({ label, slider, value, most, set, empty = false }: Asked) {
  const [draft, setDraft] = useState<string | null>(null);
  const unit = units.value;
  const per = smallMetres(unit);
  const step = unit === 'us' ? 0.5 : 1;
  const top = Math.ceil(most / per / step) * step;
  const shown = value === null ? '' : String(smallNumber(value, unit));
  const take = (text: string): void => {
    setDraft(text);
    const number = Number(text);
    if (text === '') {
      if (empty) set(null);
    } else if (Number.isFinite(number) && number >= 0 && number <= top) set(number * per);
  };
  return (
    <div class="length">
      <label>
        <span>{label}</span>
        <span class="amount">
          <input type="number" min="0" max={top} step="any" value={draft ?? shown} onInput={(event) => take(event.currentTarget.value)} onBlur={() => setDraft(null)} />
          {' '}{smallUnit(unit)}
        </span>
      </label>
      <input type="range" min="0" max={top} step={step} value={shown || 0} aria-label={slider} onInput={(event) => set(Number(event.currentTarget.value) * per)} />
    </div>
  );
}
