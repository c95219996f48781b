/** What is not yet sent, always; and every way to get it off the phone. */
import { useState } from 'preact/hooks';
import { Heading } from '../parts/Heading';
import { Passphrase } from '../parts/Passphrase';
import { events, me, now, persistent, round, setTheme, takeRound, theme, unsent, type Theme } from '../store/state';
import { filesUnsent } from '../store/files';
import { busy, lastAnswer, odd, outboxFile, problem, sync, warnings } from '../store/sync';
import { applyUpdate, updateReady } from '../store/update';
import { clock } from '../units';
import { words } from '../words';

const w = words.outbox;
const THEMES: Theme[] = ['auto', 'snow', 'dawn'];

export function Outbox() {
  const zone = round.value?.zone ?? 'UTC';
  return (
    <main>
      <Heading>{w.title}</Heading>
      <p class={unsent.value ? 'mark' : ''} role="status">{w.waiting(unsent.value)}</p>
      {filesUnsent.value.photos > 0 && <p>{w.photos(filesUnsent.value.photos)}</p>}
      {filesUnsent.value.voices > 0 && <p>{w.voices(filesUnsent.value.voices)}</p>}
      <Problem />
      <p>{lastAnswer.value === null ? w.never : w.last(clock(lastAnswer.value, zone, now.value))}</p>
      <button type="button" class="wide save" disabled={busy.value} onClick={() => void sync()}>
        {busy.value ? w.sending : w.send}
      </button>
      <Files />
      <TakeRound />
      {warnings.value.map((one) => <p class="mark" key={one}>{one}</p>)}
      <OddOnes />
      <Entries zone={zone} />
      <h2>{w.settings}</h2>
      <Keeping />
      {me.value !== null && <p>{w.paired(me.value.via)}</p>}
      <div class="choices">
        {THEMES.map((kind) => (
          <button type="button" key={kind} aria-pressed={theme.value === kind} onClick={() => void setTheme(kind)}>
            {words.theme[kind]}
          </button>
        ))}
      </div>
      <Passphrase />
      {updateReady.value && (
        <p>
          {w.update} <button type="button" onClick={applyUpdate}>{w.apply}</button>
        </p>
      )}
    </main>
  );
}

function Problem() {
  const found = problem.value;
  if (found === '') return null;
  const text = found === 'unreachable' ? w.unreachable : found === 'revoked' ? w.revoked : w.failed(found.said);
  return <p class="mark" role="status">{text}</p>;
}

function Files() {
  const save = async () => {
    const file = await outboxFile();
    const link = document.createElement('a');
    link.href = URL.createObjectURL(file);
    link.download = file.name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  };
  const share = async () => {
    const file = await outboxFile();
    if (navigator.canShare?.({ files: [file] })) await navigator.share({ files: [file] }).catch(() => undefined);
  };
  const can = typeof navigator.share === 'function';
  return (
    <>
      <button type="button" class="wide" onClick={() => void save()}>{w.file}</button>
      {can && <button type="button" class="wide" onClick={() => void share()}>{w.share}</button>}
      <p>{w.fileSays}</p>
    </>
  );
}

/** Takes a round in as a file; also stands alone on a phone without any. */
export function TakeRound() {
  const [says, setSays] = useState('');
  const take = async (file: File | undefined) => {
    if (!file) return;
    try {
      setSays((await takeRound(JSON.parse(await file.text()))) ? w.taken : w.notRound);
    } catch {
      setSays(w.notRound);
    }
  };
  return (
    <>
      <label class="file">
        {w.take}
        <input type="file" accept="application/json,.json" onChange={(e) => void take(e.currentTarget.files?.[0])} />
      </label>
      <p role="status">{says}</p>
    </>
  );
}

function OddOnes() {
  if (odd.value.length === 0) return null;
  return (
    <section aria-label={w.odd}>
      <h2>{w.odd}</h2>
      <ul>
        {odd.value.map((one) => (
          <li key={one.id}>
            {one.faults.map((fault) => `${fault.what} ${fault.do}`).join(' ')} <small>{one.became === 'held' ? w.heldBack : w.kept}</small>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Entries({ zone }: { zone: string }) {
  const voided = new Set(events.value.filter((one) => one.kind === 'void').map((one) => one.body.of));
  const shown = events.value.filter((one) => one.kind !== 'void').slice(-60).reverse();
  return (
    <section aria-label={w.entries}>
      <h2>{w.entries}</h2>
      {shown.length === 0 && <p>{w.none}</p>}
      <ul class="entries">
        {shown.map((one) => (
          <li key={one.id}>
            {clock(one.happened_at, zone, now.value)} <b>{String(one.body.set ?? one.kind)}</b>{' '}
            {words.foundAs[String(one.body.found_as)] ?? String(one.body.species ?? one.kind)}
            {voided.has(one.id) && <em> {w.voided}</em>}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Keeping() {
  if (persistent.value) return <p>{w.persistent}</p>;
  const ask = async () => (persistent.value = (await navigator.storage?.persist?.()) ?? false);
  return (
    <>
      <p class="mark">{w.notPersistent}</p>
      <button type="button" class="wide" onClick={() => void ask()}>{w.ask}</button>
    </>
  );
}
