/** The phone's own database: the only file that knows IndexedDB. What it has acknowledged survives a kill. */
const NAME = 'tendline';
const VERSION = 1;
export type Store = 'events' | 'outbox' | 'keep' | 'photos';

let opened: Promise<IDBDatabase> | undefined;

function open(): Promise<IDBDatabase> {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, VERSION);
    asked.onupgradeneeded = () => {
      for (const name of ['events', 'outbox', 'keep', 'photos']) asked.result.createObjectStore(name);
    };
    asked.onsuccess = () => {
      asked.result.onversionchange = () => asked.result.close();
      resolve(asked.result);
    };
    asked.onerror = () => reject(asked.error);
  });
  opened.catch(() => (opened = undefined));
  return opened;
}

/** Does several writes in one transaction; resolves when they are on the disk, all of them. */
export async function write(stores: Store[], work: (at: (name: Store) => IDBObjectStore) => void): Promise<void> {
  const db = await open();
  await new Promise<void>((resolve, reject) => {
    const tx = db.transaction(stores, 'readwrite', { durability: 'strict' });
    tx.oncomplete = () => resolve();
    tx.onabort = tx.onerror = () => reject(tx.error ?? new Error('not stored'));
    work((name) => tx.objectStore(name));
  });
}

function answered<T>(asked: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
}

/** Reads one value. */
export async function read<T>(store: Store, key: string): Promise<T | undefined> {
  return answered((await open()).transaction(store).objectStore(store).get(key)) as Promise<T | undefined>;
}

/** Reads every value, by key. */
export async function all<T>(store: Store): Promise<T[]> {
  return answered((await open()).transaction(store).objectStore(store).getAll()) as Promise<T[]>;
}

/** Reads every key, or the first so many. */
export async function keys(store: Store, most?: number): Promise<string[]> {
  return answered((await open()).transaction(store).objectStore(store).getAllKeys(null, most)) as Promise<string[]>;
}

/** Keeps one value. */
export function keep(key: string, value: unknown): Promise<void> {
  return write(['keep'], (at) => at('keep').put(value, key));
}
