/** Asking the machine: one call for everything, one shape of answers, one shape of faults. */
import { signal } from '@preact/signals';

export interface Fault {
  code: string;
  what: string;
  where: string;
  do: string;
}
export interface Answered<T> {
  answer: T;
  bad_news: boolean;
  warnings: string[];
}
export interface Who {
  via: string;
  person: string;
  key: string;
}

/** What the machine said no to, with what to do about it. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly faults: Fault[],
  ) {
    super(faults.map((one) => `${one.what} ${one.do}`.trim()).join(' '));
  }
}

const KEPT = 'tendline-desk';
export const me = signal<Who | null>(JSON.parse(localStorage.getItem(KEPT) ?? 'null') as Who | null);
/** Whether the machine answered the last time it was asked. */
export const reached = signal(true);

const base = (path: string) => new URL(path, document.baseURI).href;
const bare = (what: string): Fault => ({ code: '', what, where: '', do: '' });

async function call(path: string, body: BodyInit, type: string): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(base(path), {
      method: 'POST',
      body,
      cache: 'no-store',
      headers: { 'content-type': type, 'x-tendline': '1', ...(me.value ? { authorization: `Bearer ${me.value.key}` } : {}) },
    });
  } catch {
    reached.value = false;
    throw new Refused(0, [bare('unreachable')]);
  }
  reached.value = true;
  if (answer.ok) return answer;
  if (answer.status === 401) forget();
  const said = answer.headers.get('content-type')?.startsWith('application/json') ? ((await answer.json()) as { faults?: Fault[] }) : {};
  throw new Refused(answer.status, said.faults?.length ? said.faults : [bare(String(answer.status))]);
}

/** Asks for a document, with what was said beside it. */
export async function askWhole<T>(name: string, body: object = {}): Promise<Answered<T>> {
  return (await (await call(`api/desk/${name}`, JSON.stringify(body), 'application/json')).json()) as Answered<T>;
}

/** Asks for a document. */
export async function ask<T>(name: string, body: object = {}): Promise<T> {
  return (await askWhole<T>(name, body)).answer;
}

/** Asks for a file: a page to print, a picture. */
export async function askFile(name: string, body: object = {}): Promise<Blob> {
  return (await call(`api/desk/${name}`, JSON.stringify(body), 'application/json')).blob();
}

/** Hands over a file. */
export async function drop<T>(path: string, content: Blob): Promise<T> {
  return ((await (await call(`api/desk-files/${path}`, content, 'application/octet-stream')).json()) as Answered<T>).answer;
}

/** Uses up a pairing word. */
export async function pair(word: string): Promise<void> {
  const label = /Windows|Macintosh|Linux|Android|iPhone|iPad/.exec(navigator.userAgent)?.[0] ?? '';
  const answer = await call('api/pair', JSON.stringify({ word, label }), 'application/json');
  me.value = (await answer.json()) as Who;
  localStorage.setItem(KEPT, JSON.stringify(me.value));
}

function forget(): void {
  me.value = null;
  localStorage.removeItem(KEPT);
}
