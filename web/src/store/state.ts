/** What the page shows, as signals, and the only ways to change it. Everything is written down before it is shown. */
import { computed, signal } from '@preact/signals';
import { standing, type SetNow } from '../logic/standing';
import { planOrder } from '../logic/order';
import { uuid7, type Check, type Told } from '../wire/event';
import { isRound, withGround, type CarriedSet, type Round } from '../wire/round';
import { all, hasLock, keep, keys, read, write } from './db';

export type Page =
  | { name: 'next' }
  | { name: 'check'; set: string; found: string }
  | { name: 'catch'; set: string }
  | { name: 'fine'; parking: string }
  | { name: 'round' }
  | { name: 'made' }
  | { name: 'ground' }
  | { name: 'outbox' };
export interface Me {
  via: string;
  person: string;
  /** Opens the machine; empty on a phone that was never paired. */
  key: string;
}
export type Theme = 'auto' | 'snow' | 'dawn';

export const page = signal<Page>({ name: 'next' });
export const round = signal<Round | null>(null);
export const events = signal<Told[]>([]);
export const unsent = signal(0);
export const me = signal<Me | null>(null);
export const order = signal<string[]>([]);
export const skipped = signal<string[]>([]);
export const theme = signal<Theme>('auto');
/** A passphrase is set, and has not been said yet on this visit. */
export const locked = signal(false);
/** A passphrase is set. */
export const sealed = signal(false);
export const persistent = signal<boolean | null>(null);
export const trouble = signal('');
export const said = signal('');
export const now = signal(Date.now());
export const chosen = signal<string | null>(null);

export const sets = computed(() => new Map((round.value?.sets ?? []).map((one) => [one.name, one])));
export const stands = computed<Map<string, SetNow>>(() =>
  standing(round.value?.sets ?? [], events.value, round.value?.plan?.earliest_start ?? round.value?.made_at ?? ''),
);
export const left = computed(() =>
  order.value.filter((name) => sets.value.has(name) && !stands.value.get(name)?.done && !skipped.value.includes(name)),
);
export const next = computed<CarriedSet | undefined>(() => {
  const wanted = chosen.value !== null && left.value.includes(chosen.value) ? chosen.value : left.value[0];
  return wanted === undefined ? undefined : sets.value.get(wanted);
});

/** Finds out whether a passphrase must be said first. */
export async function askLock(): Promise<void> {
  sealed.value = await hasLock();
  locked.value = sealed.value;
}

/** Reads everything back that was kept; called once. */
export async function wake(): Promise<void> {
  const [kept, told, waiting, who, kind, way, skip] = await Promise.all([
    read<Round>('keep', 'round'), all<Told>('events'), keys('outbox'), read<Me>('keep', 'me'),
    read<Theme>('keep', 'theme'), read<string[]>('keep', 'order'), read<string[]>('keep', 'skipped'),
  ]);
  round.value = kept ?? null;
  events.value = told;
  unsent.value = waiting.length;
  me.value = who ?? null;
  theme.value = kind ?? 'auto';
  order.value = kept ? completeOrder(way ?? [], kept) : [];
  skipped.value = skip ?? [];
  persistent.value = (await navigator.storage?.persisted?.()) ?? false;
}

/** Brings a tab up to date with what another one wrote. */
export async function refresh(): Promise<void> {
  events.value = await all<Told>('events');
  unsent.value = (await keys('outbox')).length;
}

function completeOrder(way: string[], of: Round): string[] {
  const known = new Set(of.sets.map((one) => one.name));
  const kept = way.filter((name) => known.has(name));
  return [...kept, ...planOrder(of).filter((name) => !kept.includes(name))];
}

/** Takes a round in: from the machine, from a file, or opened from an export. */
export async function takeRound(given: unknown): Promise<boolean> {
  if (!isRound(given)) return false;
  const found = withGround(given, round.value);
  const other = found.plan?.leave !== round.value?.plan?.leave || round.value === null;
  const way = other ? planOrder(found) : completeOrder(order.value, found);
  const skip = other ? [] : skipped.value;
  await write([['put', 'keep', 'round', found], ['put', 'keep', 'order', way], ['put', 'keep', 'skipped', skip]]);
  round.value = found;
  order.value = way;
  skipped.value = skip;
  return true;
}

/** Keeps who this phone is. */
export async function takeMe(who: Me): Promise<void> {
  await keep('me', who);
  me.value = who;
}

/** Name of this phone; one of its own when it was never paired. */
export async function via(): Promise<string> {
  if (me.value === null) await takeMe({ via: `page-${uuid7(Date.now()).slice(-8)}`, person: round.value?.who ?? '', key: '' });
  return me.value!.via;
}

/** Makes an event of now, or of an earlier moment. */
export function told(kind: string, body: Record<string, unknown>, at?: Date, place: Told['place'] = null): Told {
  const present = new Date();
  return {
    id: uuid7(present.getTime()),
    kind,
    version: 1,
    happened_at: (at ?? present).toISOString(),
    recorded_at: present.toISOString(),
    by: me.value?.person || round.value?.who || 'handler',
    place,
    body,
  };
}

/** Writes events and their place in the outbox in one transaction; shown only once that is on the disk. */
export async function record(made: Told[]): Promise<void> {
  try {
    await write(made.flatMap((one) => [['add', 'events', one.id, one], ['put', 'outbox', one.id, 1]] as const));
  } catch (problem) {
    trouble.value = (problem as DOMException)?.name === 'QuotaExceededError' ? 'full' : 'not-stored';
    throw problem;
  }
  trouble.value = '';
  events.value = [...events.value, ...made];
  unsent.value += made.length;
  channel?.postMessage('written');
}

/** Takes an entry back, as an event of its own: nothing is erased. */
export function undo(of: Told, why: string): Promise<void> {
  return record([told('void', { of: of.id, why })]);
}

export async function setOrder(way: string[]): Promise<void> {
  await keep('order', way);
  order.value = way;
}

export async function setSkipped(names: string[]): Promise<void> {
  await keep('skipped', names);
  skipped.value = names;
}

export async function setTheme(kind: Theme): Promise<void> {
  theme.value = kind;
  await keep('theme', kind);
}

/** The last check of a set that still counts. */
export function lastCheck(name: string): Told | undefined {
  const voided = new Set(events.value.filter((e) => e.kind === 'void').map((e) => e.body.of));
  return events.value.filter((e) => e.kind === 'check' && (e.body as Check).set === name && !voided.has(e.id)).at(-1);
}

const channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel('tendline') : undefined;
channel?.addEventListener('message', () => locked.value || void refresh());

/** Tells the other tabs that something was sent. */
export function tellTabs(): void {
  channel?.postMessage('sent');
}
