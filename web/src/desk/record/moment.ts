/** A moment with its day and year: a record is read years later. */
import { clock } from '../../units';
import { line } from '../state';

export function moment(when: string): string {
  const zone = line.value?.zone ?? 'UTC';
  const day = new Intl.DateTimeFormat('en-GB', { weekday: 'short', day: 'numeric', month: 'short', year: 'numeric', timeZone: zone });
  return `${day.format(new Date(when))} ${clock(when, zone, Date.parse(when))}`;
}
