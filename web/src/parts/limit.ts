/** What is left of a limit, in words: the number, "left" or "LATE", and whether the rule is verified. */
import type { Clock } from '../logic/clock';
import { stretch } from '../units';
import { words } from '../words';

export function limitWords({ reading, minutes }: Clock): string {
  if (minutes === null) return words.clock[reading];
  const left = `${stretch(minutes)} ${words.clock[reading === 'late' ? 'late' : 'left']}`;
  return reading === 'not-verified' ? `${left}, ${words.clock['not-verified']}` : left;
}
