/** A phone without a round: what to do. */
import { signal } from '@preact/signals';
import { words } from '../words';
import { TakeRound } from './Outbox';

const w = words.pair;
export const opening = signal('');

export function Pair() {
  return (
    <main>
      <h1 tabIndex={-1}>{w.title}</h1>
      <p>{w.says}</p>
      {opening.value && <p role="status" class="mark">{opening.value}</p>}
      {!globalThis.isSecureContext && <p class="mark">{w.notSecure}</p>}
      <TakeRound />
    </main>
  );
}
