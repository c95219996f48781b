/** The phone's own database: the only file that knows IndexedDB. What it has acknowledged survives a kill. */
import { makeKey, seal, unseal, unwrap, wrap, type Lock } from './seal';

const VERSION = 1;
/** There is one of the two at a time, so that nothing unsealed is left beside what is sealed. */
const PLAIN = 'tendline';
const SEALED = 'tendline-sealed';
const STORES = ['events', 'outbox', 'keep', 'photos'] as const;
const LOCK = 'lock';
export type Store = (typeof STORES)[number];
export type Change = readonly ['put' | 'add', Store, string, unknown] | readonly ['delete', Store, string];

interface Opened {
  db: IDBDatabase;
  sealed: boolean;
}
let opened: Promise<Opened> | undefined;
let key: CryptoKey | null = null;

/** Opens a database; null when it is not there and is not to be made. */
function openOne(name: string, make: boolean): Promise<IDBDatabase | null> {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(name, VERSION);
    asked.onupgradeneeded = () => {
      if (make) for (const store of STORES) asked.result.createObjectStore(store);
      else asked.transaction!.abort();
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => (make ? reject(asked.error) : resolve(null));
  });
}

/** Forgets a database; other tabs let go of it at once. */
function drop(name: string): Promise<void> {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.deleteDatabase(name);
    asked.onsuccess = () => resolve();
    asked.onerror = () => reject(asked.error);
  });
}

/** One tab at a time changes how the store is sealed; nobody writes meanwhile. */
function held<T>(mode: LockMode, work: () => Promise<T>): Promise<T> {
  return navigator.locks ? navigator.locks.request('tendline-store', { mode }, work) : work();
}

const lockIn = (db: IDBDatabase): Promise<Lock | undefined> => answered(db.transaction('keep').objectStore('keep').get(LOCK));

async function find(): Promise<Opened> {
  const sealed = await openOne(SEALED, false);
  const lock = sealed === null ? undefined : await lockIn(sealed);
  if (sealed !== null && lock === undefined) sealed.close();
  else if (sealed !== null) await drop(PLAIN); // left over when the phone died while it was being sealed
  const db = lock === undefined ? (await openOne(PLAIN, true))! : sealed!;
  db.onversionchange = () => {
    db.close(); // another tab has sealed it, opened it for good, or wiped it: start again
    opened = Promise.reject(new Error('the store has changed'));
    opened.catch(() => location.reload());
  };
  return { db, sealed: lock !== undefined };
}

function open(): Promise<Opened> {
  if (opened === undefined) {
    const made = (opened = held('shared', find));
    made.catch(() => opened === made && (opened = undefined)); // asked again next time
  }
  return opened;
}

const where = (store: Store, name: string): string => `${store}/${name}`;
const isSealed = ({ sealed }: Opened, store: Store): boolean => sealed && store !== 'outbox';
const boxed = async (of: Opened, store: Store, name: string, value: unknown): Promise<unknown> =>
  isSealed(of, store) ? seal(key!, where(store, name), value) : value;
const unboxed = async <T>(of: Opened, store: Store, name: string, value: unknown): Promise<T> =>
  (isSealed(of, store) && value !== undefined ? await unseal(key!, where(store, name), value as ArrayBuffer) : value) as T;

/** Does several writes in one transaction; resolves when they are on the disk, all of them. */
export async function write(changes: Change[]): Promise<void> {
  const of = await open();
  await held('shared', async () => {
    const ready = await Promise.all(changes.map(async (one): Promise<Change> => (one[0] === 'delete' ? one : [one[0], one[1], one[2], await boxed(of, one[1], one[2], one[3])])));
    await put(of.db, ready);
  });
}

function put(db: IDBDatabase, changes: Change[], durability: IDBTransactionDurability = 'strict'): Promise<void> {
  return new Promise((resolve, reject) => {
    const tx = db.transaction([...new Set(changes.map((one) => one[1]))], 'readwrite', { durability });
    tx.oncomplete = () => resolve();
    tx.onabort = tx.onerror = () => reject(tx.error ?? new Error('not stored'));
    for (const [what, store, name, value] of changes) {
      const at = tx.objectStore(store);
      if (what === 'delete') at.delete(name);
      else if (what === 'add') at.add(value, name);
      else at.put(value, name);
    }
  });
}

function answered<T>(asked: IDBRequest): Promise<T> {
  return new Promise((resolve, reject) => {
    asked.onsuccess = () => resolve(asked.result as T);
    asked.onerror = () => reject(asked.error);
  });
}

/** Reads one value. */
export async function read<T>(store: Store, name: string): Promise<T | undefined> {
  const of = await open();
  return unboxed(of, store, name, await answered(of.db.transaction(store).objectStore(store).get(name)));
}

/** Reads every value, by key. */
export async function all<T>(store: Store): Promise<T[]> {
  return (await pairs<T>(await open(), store)).map(([, value]) => value);
}

async function pairs<T>(of: Opened, store: Store): Promise<[string, T][]> {
  const at = of.db.transaction(store).objectStore(store);
  const [names, values] = await Promise.all([answered<string[]>(at.getAllKeys()), answered<unknown[]>(at.getAll())]);
  const kept = names.map((name, n) => [name, values[n]] as const).filter(([name]) => store !== 'keep' || name !== LOCK);
  return Promise.all(kept.map(async ([name, value]) => [name, await unboxed<T>(of, store, name, value)] as [string, T]));
}

/** Reads every key, or the first so many. */
export async function keys(store: Store, most?: number): Promise<string[]> {
  return answered((await open()).db.transaction(store).objectStore(store).getAllKeys(null, most));
}

/** Keeps one value. */
export function keep(name: string, value: unknown): Promise<void> {
  return write([['put', 'keep', name, value]]);
}

/** Whether a passphrase is set; what is sealed can be read only after `unlock`. */
export const hasLock = async (): Promise<boolean> => (await open()).sealed;

/** Opens the store for this visit; false when the passphrase is another one. */
export async function unlock(passphrase: string): Promise<boolean> {
  const [, lock] = await now();
  key = lock && (await unwrap(lock, passphrase));
  return key !== null;
}

/** The lock as it stands: another tab may have changed the passphrase since. */
async function now(): Promise<[Opened, Lock | null]> {
  const of = await open();
  return [of, (await lockIn(of.db)) ?? null];
}

/** Sets a passphrase, or another one when there is one; false when `before` is not the one that is set. */
export async function setPassphrase(before: string, after: string): Promise<boolean> {
  const [of, lock] = await now();
  if (lock === null) {
    const made = await makeKey();
    const sealed = async (store: Store, name: string, value: unknown) => (store === 'outbox' ? value : seal(made, where(store, name), value));
    await move(of, PLAIN, SEALED, sealed, await wrap(made, after));
    return true;
  }
  const known = await unwrap(lock, before, true);
  if (known === null) return false;
  await put(of.db, [['put', 'keep', LOCK, await wrap(known, after)]]);
  return true;
}

/** Takes the passphrase away: what lies here can be read by who can unlock the phone. */
export async function dropPassphrase(before: string): Promise<boolean> {
  const [of, lock] = await now();
  if (lock === null || (await unwrap(lock, before)) === null) return false;
  await move(of, SEALED, PLAIN, async (_, __, value) => value, null);
  return true;
}

/** Writes everything into a new database, all or nothing, then forgets the old one and starts again. */
async function move(of: Opened, from: string, to: string, change: (store: Store, name: string, value: unknown) => Promise<unknown>, lock: Lock | null): Promise<void> {
  await held('exclusive', async () => {
    await drop(to);
    const db = (await openOne(to, true))!;
    const found = await Promise.all(STORES.map(async (store) => ({ store, kept: await pairs<unknown>(of, store) })));
    const every = found.flatMap(({ store, kept }) => kept.map(async ([name, value]): Promise<Change> => ['put', store, name, await change(store, name, value)]));
    await put(db, [...(await Promise.all(every)), ...(lock ? ([['put', 'keep', LOCK, lock]] as Change[]) : [])]);
    db.close();
    of.db.close();
    await drop(from);
    await scour().catch(() => undefined); // no room for it: the browser tidies up in its own time
  });
  location.reload();
}

const SCOUR = 'tendline-scour';
const FLOOD = 480;
const DROP = 48 * 1024;
/** So often a small database comes and goes in between. */
const TOUCH = 32;

/**
 * Has the browser write over what it deleted. Chromium keeps deleted values in its files until it tidies them
 * (LevelDB: four files of 4 MB at the first level, then 10 MB at the next); 23 MB of chance make it do so at once.
 * It tidies only files whose keys lie in one range with new ones: a database that comes and goes writes into its
 * list of databases, which stands before all keys, so that each new file reaches over the old ones.
 */
async function scour(): Promise<void> {
  const db = (await openOne(SCOUR, true))!;
  for (let n = 0; n < FLOOD; n++) {
    await put(db, [['put', 'keep', `${n}`, crypto.getRandomValues(new Uint8Array(DROP)).buffer]], 'relaxed');
    if (n % TOUCH === 0) {
      (await openOne(`${SCOUR}-touch`, true))!.close();
      await drop(`${SCOUR}-touch`);
    }
  }
  db.close();
  await drop(SCOUR);
}

/** Forgets everything on this phone, sent or not. */
export async function wipe(): Promise<void> {
  const of = await open();
  await held('exclusive', async () => {
    of.db.close();
    await drop(SEALED);
    await drop(PLAIN);
  });
  location.reload();
}
