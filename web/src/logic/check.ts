/** The four answers of a check: which follow from which, so that the common case is two taps. Pure. */
export const FOUND = [
  'working', 'knocked-down', 'closed', 'holding', 'turned', 'pushed-aside', 'buried', 'frozen', 'out-of-limits',
  'broken', 'tampered', 'gone', 'not-found', 'not-reached', 'unset',
] as const;
export const HAPPENED = [
  'nothing', 'passed-by', 'refused', 'under-or-over', 'wind', 'deer', 'other-animal', 'unknown', 'fired-empty', 'snow',
  'freeze', 'thaw', 'broke-away', 'chewed-out', 'anchor-pulled', 'slipped-out', 'taken-by-predator', 'person', 'missing',
] as const;
export const DONE = [
  'looked', 'adjusted', 'rehung', 'dug-out', 'remade', 'swapped', 'searched', 'closed', 'pulled', 'none',
] as const;
export const LEFT = ['working', 'unset', 'pulled', 'as-found'] as const;
export const SURE = ['seen', 'track-sure', 'track-likely', 'unknown'] as const;

export interface Answers {
  found_as: string;
  what_happened: string;
  done: string;
  left_as: string;
}

type Guess = { happened: string; likely: string[]; done: string; left: string };

/** What usually goes with each way of being found; a guess that a tap changes. Common practice, no source. */
const GUESS: Record<string, Guess> = {
  working: { happened: 'nothing', likely: ['nothing', 'passed-by', 'refused', 'under-or-over'], done: 'looked', left: 'working' },
  turned: { happened: '', likely: ['wind', 'deer', 'passed-by', 'unknown'], done: 'adjusted', left: 'working' },
  'knocked-down': { happened: '', likely: ['deer', 'wind', 'other-animal', 'unknown'], done: 'rehung', left: 'working' },
  'pushed-aside': { happened: '', likely: ['deer', 'other-animal', 'refused', 'unknown'], done: 'adjusted', left: 'working' },
  closed: { happened: '', likely: ['fired-empty', 'slipped-out', 'deer', 'unknown'], done: 'remade', left: 'working' },
  buried: { happened: 'snow', likely: ['snow', 'wind'], done: 'dug-out', left: 'working' },
  frozen: { happened: 'freeze', likely: ['freeze', 'thaw', 'snow'], done: 'adjusted', left: 'working' },
  'out-of-limits': { happened: '', likely: ['snow', 'thaw', 'deer', 'unknown'], done: 'adjusted', left: 'working' },
  broken: { happened: '', likely: ['broke-away', 'chewed-out', 'anchor-pulled', 'deer'], done: 'swapped', left: 'working' },
  tampered: { happened: 'person', likely: ['person', 'unknown'], done: 'remade', left: 'working' },
  gone: { happened: 'missing', likely: ['missing', 'person', 'anchor-pulled', 'taken-by-predator'], done: 'searched', left: 'as-found' },
  'not-found': { happened: 'unknown', likely: ['snow', 'unknown', 'missing'], done: 'searched', left: 'as-found' },
  'not-reached': { happened: 'unknown', likely: ['unknown', 'snow'], done: 'none', left: 'as-found' },
  unset: { happened: 'nothing', likely: ['nothing', 'passed-by', 'unknown'], done: 'looked', left: 'as-found' },
};
const NONE: Guess = { happened: '', likely: [], done: '', left: '' };

/** The answers to start from, once it is said how the set was found. */
export function start(found: string): Answers {
  const guess = GUESS[found] ?? NONE;
  return { found_as: found, what_happened: guess.happened, done: guess.done, left_as: guess.left };
}

/** The likely answers to "what happened", first to be shown. */
export const likely = (found: string): string[] => (GUESS[found] ?? NONE).likely;

/** Whether all four are said. */
export const complete = (a: Answers): boolean => Boolean(a.found_as && a.what_happened && a.done && a.left_as);

/** Happenings that ask which animal it was. */
export const ASKS_SPECIES = ['passed-by', 'refused', 'under-or-over', 'other-animal', 'broke-away', 'chewed-out', 'slipped-out', 'taken-by-predator'];

export const FATES = ['kept', 'released', 'released-injured', 'dead'] as const;

/** What a check says of a catch, from whose animal it was and what became of it. */
export function caught(standing: string, fate: string): string {
  if (standing === 'target') {
    return { kept: 'caught-kept', released: 'caught-released', 'released-injured': 'caught-released', dead: 'found-dead' }[fate] ?? '';
  }
  if (standing === 'domestic' && fate.startsWith('released')) return 'domestic-released';
  return { kept: 'caught-kept', released: 'nontarget-released', 'released-injured': 'nontarget-injured', dead: 'nontarget-dead' }[fate] ?? '';
}

/** A clock time of a zone, as the latest such moment that is not after `now`; null when it is none. */
export function asOf(text: string, now: Date, zone: string): Date | null {
  const found = /^(\d{1,2}):(\d{2})$/.exec(text);
  if (!found || Number(found[1]) > 23 || Number(found[2]) > 59) return null;
  const shown = new Intl.DateTimeFormat('en-GB', { timeZone: zone, hour: '2-digit', minute: '2-digit', hourCycle: 'h23' });
  const wall = shown.format(now).split(':').map(Number) as [number, number];
  const ago = (wall[0] - Number(found[1])) * 60 + wall[1] - Number(found[2]);
  const at = new Date(now.getTime() - ((ago + 1440) % 1440) * 60_000);
  at.setSeconds(0, 0);
  // Across a change of the clocks the wall says another time than was meant: that hour is moved over.
  const off = shown.format(at).split(':').map(Number) as [number, number];
  const slip = (Number(found[1]) - off[0]) * 60 + Number(found[2]) - off[1];
  return new Date(at.getTime() + (Math.abs(slip) <= 120 ? slip : 0) * 60_000);
}
