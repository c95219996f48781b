/** A piece of long work under way: how far it is, and a way to end it with the best so far. */
import type { Working } from '../asked';
import { words } from '../words';
import { Faults } from './Faults';

export function WorkBar({ working }: { working: Working<unknown> }) {
  const { work, faults, stop } = working;
  const going = work?.state === 'running' || work?.state === 'waiting' ? work.state : null;
  return (
    <div aria-live="polite">
      {going && work && (
        <p class="work">
          <progress aria-label={words.work[going]} /> {words.work[going]} {work.told}
          <button type="button" onClick={stop} disabled={work.stopping}>
            {work.stopping ? words.work.stopping : words.work.stop}
          </button>
        </p>
      )}
      {work?.state === 'stopped' && <p class="work">{words.work.stopped}</p>}
      <Faults faults={faults} />
    </div>
  );
}
