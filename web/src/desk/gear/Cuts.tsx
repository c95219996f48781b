/** The cut list drawn on the rolls: every roll and offcut to one scale, its pieces, and what is left over. */
import { long } from '../../units';
import { units } from '../state';
import type { CutListTold } from './told';
import { words } from './words';

type Cut = CutListTold['cuts'][number];
const WIDE = 900;
/** A piece narrower than this [px] is not drawn by itself. */
const LEAST = 3;

export function Cuts({ told }: { told: CutListTold | null }) {
  const cable = (metres: number): string => long(metres, units.value);
  if (told === null) return <><h3>{words.cuts.title}</h3><p>{words.cuts.none}</p></>;
  const most = Math.max(...told.cuts.map((one) => one.length_m));
  const groups = new Map<string, { cut: Cut; times: number }>();
  for (const cut of told.cuts) {
    const key = JSON.stringify(cut);
    groups.set(key, { cut, times: (groups.get(key)?.times ?? 0) + 1 });
  }
  return (
    <>
      <h3>{words.cuts.title}</h3>
      <p>
        <b>{words.cuts.told(cable(told.opened_m), cable(told.material_m), cable(told.opened_m - told.material_m))}</b>{' '}
        {told.proved ? words.cuts.proved : words.cuts.bound(cable(told.bound_m))}
      </p>
      <ul class="rolls">
        {[...groups.values()].map(({ cut, times }) => {
          const pieces = cut.pieces.map((one) => words.cuts.pieces(one.count, one.piece)).join(', ');
          const what = `${times > 1 ? `${words.cuts.times(times)}: ` : ''}${cable(cut.length_m)}: ${pieces}; ${words.cuts.left(cable(cut.left_m))}`;
          return (
            <li key={JSON.stringify(cut)}>
              {what}
              <Roll cut={cut} most={most} what={what} />
            </li>
          );
        })}
      </ul>
    </>
  );
}

function Roll({ cut, most, what }: { cut: Cut; most: number; what: string }) {
  const x = (metres: number): number => (metres / most) * WIDE;
  let at = 0;
  const bars = cut.pieces.flatMap(({ piece, count, length_m: length }) => {
    const begun = at;
    at += length * count;
    if (x(length) < LEAST) return [{ piece, from: begun, to: at, many: true }];
    return Array.from({ length: count }, (_, place) => ({ piece, from: begun + place * length, to: begun + (place + 1) * length, many: false }));
  });
  return (
    <svg class="drawn" viewBox={`0 0 ${WIDE} 26`} role="img" aria-label={words.cuts.alt(what)}>
      <rect x="0.5" y="1" width={x(cut.length_m) - 1} height="24" class="left" stroke="currentColor" />
      {bars.map((one) => (
        <rect key={one.from} x={x(one.from)} y="1" width={Math.max(0.5, x(one.to) - x(one.from))} height="24" class={one.many ? 'many' : 'piece'} stroke="currentColor" />
      ))}
    </svg>
  );
}
