/** Asked at each start when a passphrase is set; what lies on the phone cannot be read without it. */
import { useEffect, useState } from 'preact/hooks';
import { Secret } from '../parts/Secret';
import { keys, unlock, wipe } from '../store/db';
import { words } from '../words';

const w = words.lock;

export function Unlock({ onOpen }: { onOpen: () => Promise<void> }) {
  const [passphrase, setPassphrase] = useState('');
  const [says, setSays] = useState('');
  const [waiting, setWaiting] = useState(0);
  const [sure, setSure] = useState(false);
  useEffect(() => void keys('outbox').then((found) => setWaiting(found.length)), []);
  const open = async () => {
    setSays(w.opening);
    if (await unlock(passphrase)) await onOpen();
    else setSays(w.wrong);
  };
  return (
    <main>
      <h1 tabIndex={-1}>{w.title}</h1>
      <p>{words.unsent(waiting)}</p>
      <form onSubmit={(e) => { e.preventDefault(); void open(); }}>
        <Secret label={w.passphrase} kind="current-password" value={passphrase} onInput={setPassphrase} />
        <button type="submit" class="wide save" disabled={passphrase === ''}>{w.open}</button>
      </form>
      <p role="status">{says}</p>
      <details>
        <summary>{w.forgotten}</summary>
        <p class="mark">{w.wipeSays(waiting)}</p>
        <label class="tick">
          <input type="checkbox" checked={sure} onChange={(e) => setSure(e.currentTarget.checked)} />
          {w.wipeSure}
        </label>
        <button type="button" class="wide" disabled={!sure} onClick={() => void wipe()}>{w.wipe}</button>
      </details>
    </main>
  );
}
