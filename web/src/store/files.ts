/** Photos and spoken notes: kept on the phone with the entry, sent in pieces when there is a way. Photos are made small first. */
import { signal } from '@preact/signals';
import type { Told } from '../wire/event';
import { keys, read, write } from './db';
import { record } from './state';

/** As the address of the machine calls them (jobs/file_pieces.py), and the entry. */
export type Sort = 'photos' | 'voices';
export interface Kept {
  sort: Sort;
  sha256: string;
  blob: Blob;
}
const LONGEST = 1600;
const PIECE = 256 * 1024;
/** Largest spoken note that the machine takes. */
const LARGEST_VOICE = 8_000_000;
export const filesUnsent = signal<Record<Sort, number>>({ photos: 0, voices: 0 });

async function named(sort: Sort, blob: Blob): Promise<Kept> {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', await blob.arrayBuffer()));
  return { sort, sha256: [...hash].map((byte) => byte.toString(16).padStart(2, '0')).join(''), blob };
}

/** Draws a picture again, at most 1600 pixels long: what a camera writes beside the picture does not come along. */
export async function shrink(file: Blob): Promise<Kept> {
  const picture = await createImageBitmap(file, { imageOrientation: 'from-image' });
  const by = Math.min(1, LONGEST / Math.max(picture.width, picture.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(picture.width * by);
  canvas.height = Math.round(picture.height * by);
  canvas.getContext('2d')!.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const blob = await new Promise<Blob>((resolve, reject) =>
    canvas.toBlob((made) => (made ? resolve(made) : reject(new Error('no picture'))), 'image/jpeg', 0.82),
  );
  return named('photos', blob);
}

/** Takes a spoken note; null when it is empty or larger than the machine takes. */
export const spoken = async (blob: Blob): Promise<Kept | null> =>
  blob.size > 0 && blob.size <= LARGEST_VOICE ? named('voices', blob) : null;

/** What an entry says of its files. */
export function filesBody(files: Kept[]): Record<string, unknown> {
  const of = (sort: Sort) => files.filter((one) => one.sort === sort).map((one) => one.sha256);
  const [photos, voices] = [of('photos'), of('voices')];
  return { ...(photos.length ? { photos } : {}), ...(voices.length ? { voices } : {}) };
}

const VOICE = 'voice-';
const nameOf = (one: Kept): string => (one.sort === 'voices' ? VOICE : '') + one.sha256;
const sortOf = (name: string): Sort => (name.startsWith(VOICE) ? 'voices' : 'photos');

/** Writes entries after their files: an entry never names a file that is not on the disk. */
export async function recordWithFiles(made: Told[], files: Kept[]): Promise<void> {
  if (files.length) {
    const bytes = await Promise.all(files.map(async (one) => [nameOf(one), await one.blob.arrayBuffer()] as const));
    await write(bytes.map(([name, content]) => ['put', 'photos', name, content]));
  }
  await record(made);
  await countFiles();
}

/** Counts what is still to be sent. */
export async function countFiles(): Promise<void> {
  const sorts = (await keys('photos')).map(sortOf);
  const voices = sorts.filter((sort) => sort === 'voices').length;
  filesUnsent.value = { voices, photos: sorts.length - voices };
}

/** Sends every file, in pieces, from where the machine says it stopped; a sent one is let go. */
export async function sendFiles(put: (path: string, piece: Blob) => Promise<number>): Promise<void> {
  for (const name of await keys('photos')) {
    const content = await read<ArrayBuffer>('photos', name);
    if (content === undefined) continue;
    const path = (from: number) => `api/${sortOf(name)}/${name.replace(VOICE, '')}?from=${from}&of=${content.byteLength}`;
    let at = await put(path(0), new Blob([]));
    while (at < content.byteLength) at = await put(path(at), new Blob([content.slice(at, at + PIECE)]));
    await write([['delete', 'photos', name]]);
  }
  await countFiles();
}
