/** A set made on the round: what its name and tag must be, by what the phone knows. Pure. */
import type { Told } from '../wire/event';
import type { Round } from '../wire/round';

/** As core/ids.py has it: letters, digits and single dashes, at most 12. */
const SHORT = /^(?=.{1,12}$)[A-Za-z0-9]+(-[A-Za-z0-9]+)*$/;

const made = (events: Told[]): Told[] => {
  const voided = new Set(events.filter((one) => one.kind === 'void').map((one) => one.body.of));
  return events.filter((one) => one.kind === 'set-made' && !voided.has(one.id));
};

/** Whether a name is short enough to be shouted, and free. The machine looks again. */
export function nameFault(name: string, round: Round, events: Told[]): '' | 'form' | 'taken' {
  if (!SHORT.test(name)) return 'form';
  const taken = [...round.sets, ...round.parkings, ...round.landmarks].map((one) => one.name);
  const all = [...taken, ...made(events).map((one) => String(one.body.set)), 'home'];
  return all.some((one) => one.toLowerCase() === name.toLowerCase()) ? 'taken' : '';
}

/** Devices that are not out there yet, also not by what this phone has noted. */
export function freeTags(round: Round, events: Told[]): string[] {
  const used = new Set(made(events).map((one) => one.body.tag));
  return round.tags.filter((tag) => !used.has(tag));
}
