/** Sets, changes and takes away the passphrase of the phone's own store; says beforehand what forgetting it means. */
import { useState } from 'preact/hooks';
import { dropPassphrase, setPassphrase } from '../store/db';
import { SHORTEST } from '../store/seal';
import { sealed } from '../store/state';
import { words } from '../words';
import { Secret } from './Secret';

const w = words.lock;

export function Passphrase() {
  const [before, setBefore] = useState('');
  const [after, setAfter] = useState('');
  const [again, setAgain] = useState('');
  const [says, setSays] = useState('');
  const short = after.trim().length < SHORTEST;
  const hint = after === '' ? '' : short ? w.tooShort(SHORTEST) : after !== again ? w.notSame : '';
  const set = async () => {
    setSays(w.sealing);
    const good = await setPassphrase(before, after);
    setSays(good ? w.changed : w.wrong);
    if (good) [setBefore, setAfter, setAgain].forEach((clear) => clear(''));
  };
  const drop = async () => {
    setSays(w.sealing);
    if (!(await dropPassphrase(before))) setSays(w.wrong);
  };
  return (
    <section aria-label={w.section}>
      <h2>{w.section}</h2>
      <p>{sealed.value ? w.isSet : w.isNot}</p>
      {sealed.value && <button type="button" class="wide" onClick={() => location.reload()}>{w.lockNow}</button>}
      <details>
        <summary>{sealed.value ? w.change : w.set}</summary>
        <ul class="cautions">{w.beforehand.map((one) => <li key={one}>{one}</li>)}</ul>
        {sealed.value && <Secret label={w.passphrase} kind="current-password" value={before} onInput={setBefore} />}
        <Secret label={w.new} kind="new-password" value={after} onInput={setAfter} />
        <Secret label={w.again} kind="new-password" value={again} onInput={setAgain} />
        <p>{hint}</p>
        <button type="button" class="wide" disabled={short || after !== again} onClick={() => void set()}>{sealed.value ? w.change : w.set}</button>
        {sealed.value && <button type="button" class="wide quiet" disabled={before === ''} onClick={() => void drop()}>{w.drop}</button>}
        <p role="status">{says}</p>
      </details>
    </section>
  );
}
