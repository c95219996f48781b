/** Sending what was written down, exactly once, and asking for the round. Never decides on `navigator.onLine`. */
import { signal } from '@preact/signals';
import { message, type Told } from '../wire/event';
import { sendFiles } from './files';
import { all, keep, keys, read, write } from './db';
import { me, refresh, round, takeMe, takeRound, tellTabs, via } from './state';

export interface Odd {
  id: string;
  became: string;
  faults: { code: string; what: string; do: string }[];
}
export type Trouble = '' | 'unreachable' | 'revoked' | { said: string };

export const busy = signal(false);
export const lastAnswer = signal<string | null>(null);
export const problem = signal<Trouble>('');
export const odd = signal<Odd[]>([]);
export const warnings = signal<string[]>([]);

const BATCH = 200;
const headers = (type: string): Record<string, string> => ({
  'content-type': type,
  'x-tendline': '1',
  ...(me.value?.key ? { authorization: `Bearer ${me.value.key}` } : {}),
});
const base = (path: string) => new URL(path, document.baseURI).href;

class Answered extends Error {
  constructor(readonly status: number, said: string) {
    super(said);
  }
}

async function ask(path: string, body?: unknown, patience = 20_000): Promise<Record<string, unknown>> {
  const sent = body === undefined ? {} : { method: 'POST', body: JSON.stringify(body) };
  const answer = await fetch(base(path), { ...sent, headers: headers('application/json'), cache: 'no-store', signal: AbortSignal.timeout(patience) });
  const type = answer.headers.get('content-type') ?? '';
  const found = type.startsWith('application/json') ? ((await answer.json()) as Record<string, unknown>) : {};
  if (answer.ok && type.startsWith('application/json')) return found;
  const faults = (found.faults as Odd['faults'] | undefined) ?? [];
  throw new Answered(answer.status, faults.map((one) => `${one.what} ${one.do}`.trim()).join(' ') || String(answer.status));
}

/** Sends the outbox, then takes the round as it stands now. One tab at a time; safe to call as often as one likes. */
export async function sync(): Promise<void> {
  await navigator.locks.request('tendline-sync', { ifAvailable: true }, async (lock) => {
    if (lock === null) return;
    busy.value = true;
    try {
      await send();
      await sendFiles(put);
      await takeRound(await ask(`api/round?ground=${round.value?.relief?.id ?? ''}`, undefined, 8_000));
      problem.value = '';
      lastAnswer.value = new Date().toISOString();
      await keep('lastAnswer', lastAnswer.value);
    } catch (reason) {
      problem.value = told(reason);
    } finally {
      busy.value = false;
      await refresh();
      tellTabs();
    }
  });
}

function told(reason: unknown): Trouble {
  if (!(reason instanceof Answered)) return 'unreachable';
  if (reason.status === 401) return 'revoked';
  return reason.status === 404 || reason.status === 502 ? 'unreachable' : { said: reason.message };
}

async function put(path: string, piece: Blob): Promise<number> {
  const sent = { method: 'PUT', headers: headers('application/octet-stream'), body: piece };
  const answer = await fetch(base(path), { ...sent, cache: 'no-store', signal: AbortSignal.timeout(30_000) });
  if (!answer.ok) throw new Answered(answer.status, String(answer.status));
  return ((await answer.json()) as { have: number }).have;
}

async function send(): Promise<void> {
  const who = await via();
  for (;;) {
    const ids = await keys('outbox', BATCH);
    if (ids.length === 0) return;
    const batch = (await Promise.all(ids.map((id) => read<Told>('events', id)))).filter((one) => one !== undefined);
    const answer = await ask('api/events', message(who, batch, new Date()));
    const acked = (answer.acked as string[]).filter((id) => ids.includes(id));
    if (acked.length === 0) throw new Answered(500, 'nothing was acknowledged');
    const strange = [...((await read<Odd[]>('keep', 'odd')) ?? []), ...(answer.odd as Odd[])];
    await write([...acked.map((id) => ['delete', 'outbox', id] as const), ['put', 'keep', 'odd', strange.slice(-200)]]);
    odd.value = strange;
    warnings.value = answer.warnings as string[];
  }
}

/** Reads back what the machine said before. */
export async function recall(): Promise<void> {
  odd.value = (await read<Odd[]>('keep', 'odd')) ?? [];
  lastAnswer.value = (await read<string>('keep', 'lastAnswer')) ?? null;
}

/** Uses up a pairing word. */
export async function pair(word: string): Promise<void> {
  const label = /iPhone|iPad|Android|Windows|Macintosh|Linux/.exec(navigator.userAgent)?.[0] ?? '';
  const who = await ask('api/pair', { word, label });
  await takeMe({ via: String(who.via), person: String(who.person), key: String(who.key) });
  problem.value = '';
}

/** Everything written down here, as a file; taking it in twice does no harm. */
export async function outboxFile(): Promise<File> {
  const who = await via();
  const text = JSON.stringify(message(who, await all<Told>('events'), new Date()));
  return new File([text], `tendline-${who}-${new Date().toISOString().slice(0, 10)}.json`, { type: 'application/json' });
}

/** Opens the sealed round of an export with the key from the address. */
export async function openSealed(key: string): Promise<boolean> {
  const answer = await fetch(base('round.sealed'), { cache: 'no-store' });
  if (!answer.ok) return false;
  const sealed = new Uint8Array(await answer.arrayBuffer());
  const raw = Uint8Array.from(atob(key.replaceAll('-', '+').replaceAll('_', '/')), (letter) => letter.charCodeAt(0));
  const secret = await crypto.subtle.importKey('raw', raw, 'AES-GCM', false, ['decrypt']);
  const extra = new TextEncoder().encode('round.sealed');
  const plain = await crypto.subtle.decrypt({ name: 'AES-GCM', iv: sealed.slice(0, 12), additionalData: extra }, secret, sealed.slice(12));
  return takeRound(JSON.parse(new TextDecoder().decode(plain)));
}
