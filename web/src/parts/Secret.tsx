/** A field for a passphrase; it can be shown, as gloves and cold fingers mistype. */
import { useState } from 'preact/hooks';
import { words } from '../words';

interface Props {
  label: string;
  kind: 'current-password' | 'new-password';
  value: string;
  onInput: (value: string) => void;
}

export function Secret({ label, kind, value, onInput }: Props) {
  const [shown, setShown] = useState(false);
  const same = {
    autoComplete: kind, autoCapitalize: 'off', spellcheck: false, value,
    onInput: (e: { currentTarget: HTMLInputElement }) => onInput(e.currentTarget.value),
  } as const;
  return (
    <div class="secret">
      <label>
        {label}
        {shown ? <input type="text" {...same} /> : <input type="password" {...same} />}
      </label>
      <button type="button" aria-pressed={shown} aria-label={words.lock.show(label)} onClick={() => setShown(!shown)}>{words.lock.shown}</button>
    </div>
  );
}
