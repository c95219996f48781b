/** The loop clock: an open ring, its gap at two o'clock; the thick arc is what is left. A number and a word stand beside it. */
import type { Clock } from '../logic/clock';
import { words } from '../words';

const GAP_AT = 60;
const GAP = 44;
const FULL = 360 - GAP;
const point = (degrees: number, radius = 9) => {
  const angle = (degrees * Math.PI) / 180;
  return `${(12 + radius * Math.sin(angle)).toFixed(3)} ${(12 - radius * Math.cos(angle)).toFixed(3)}`;
};
const arc = (first: number, last: number): string => {
  const zero = GAP_AT + GAP / 2;
  return `M ${point(zero + first)} A 9 9 0 ${last - first > 180 ? 1 : 0} 1 ${point(zero + last)}`;
};

export function LoopClock({ clock, size }: { clock: Clock; size: number }) {
  const { share, reading } = clock;
  const late = reading === 'late';
  const label = reading === 'no-clock' ? words.clock['no-clock'] : words.clock.sign(share, late);
  return (
    <svg class="loop" viewBox="0 0 24 24" width={size} height={size} role="img" aria-label={label}>
      <path d={arc(0, FULL)} class={share === null && !late && reading !== 'no-clock' ? 'thin dashed' : 'thin'} />
      {share !== null && share > 0.002 && <path d={arc(FULL * (1 - share), FULL)} class="thick" />}
      {late && <path d={`M ${point(150, -7)} L ${point(150, 7)}`} class="bar" />}
      {reading === 'no-clock' && <path d={`M ${point(90, -4)} L ${point(90, 4)}`} class="bar" />}
    </svg>
  );
}
