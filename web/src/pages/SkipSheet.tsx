/** What a skip does to the deadline, before it is done. */
import { skipMargin } from '../logic/order';
import { Sheet } from '../parts/Sheet';
import { now, round, setSkipped, skipped } from '../store/state';
import { clock, stretch } from '../units';
import { words } from '../words';
import type { CarriedSet } from '../wire/round';

const w = words.round;

export function SkipSheet({ set, onClose }: { set: CarriedSet; onClose: () => void }) {
  const of = round.value!;
  const hours = skipMargin(set, of.following);
  const due = set.due === null ? '' : clock(set.due, of.zone, now.value);
  const says =
    hours === null ? w.skipUnknown : hours < 0 ? w.skipLate(due, stretch(-hours * 60)) : w.skipFits(due, stretch(hours * 60));
  return (
    <Sheet title={w.skipTitle(set.name)} onClose={onClose}>
      <p class={hours === null || hours < 0 ? 'mark' : ''}>{says}</p>
      <p>{w.skipNote}</p>
      <button type="button" class="wide" onClick={onClose}>
        {w.skipNo}
      </button>
      <button type="button" class="wide quiet" onClick={() => void setSkipped([...skipped.value, set.name]).then(onClose)}>
        {w.skipYes}
      </button>
    </Sheet>
  );
}
