/** What the machine said no to: what, where, and what to do. */
import type { Fault } from '../ask';
import { words } from '../words';

export function Faults({ faults }: { faults: Fault[] }) {
  if (faults.length === 0) return null;
  return (
    <div class="faults" role="alert">
      <ul>
        {faults.map((one, place) => (
          <li key={place}>
            <b>{one.what === 'unreachable' ? words.unreachable : one.what}</b> {one.where && <code>{one.where}</code>} {one.do}
            {one.code && <small> {one.code}</small>}
          </li>
        ))}
      </ul>
    </div>
  );
}
