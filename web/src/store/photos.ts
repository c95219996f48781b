/** Photos: made small on the phone, without their place, kept with the entry, sent when there is a way. */
import { signal } from '@preact/signals';
import type { Told } from '../wire/event';
import { keys, read, write } from './db';
import { record } from './state';

export interface Photo {
  sha256: string;
  blob: Blob;
}
const LONGEST = 1600;
const PIECE = 256 * 1024;
export const photosUnsent = signal(0);

/** Draws a picture again, at most 1600 pixels long: what a camera writes beside the picture does not come along. */
export async function shrink(file: Blob): Promise<Photo> {
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
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', await blob.arrayBuffer()));
  return { sha256: [...hash].map((byte) => byte.toString(16).padStart(2, '0')).join(''), blob };
}

/** What an entry says of its photos. */
export const photoBody = (photos: Photo[]): Record<string, unknown> =>
  photos.length ? { photos: photos.map((one) => one.sha256) } : {};

/** Writes entries after their photos: an entry never names a photo that is not on the disk. */
export async function recordWithPhotos(made: Told[], photos: Photo[]): Promise<void> {
  if (photos.length) {
    const bytes = await Promise.all(photos.map(async (one) => [one.sha256, await one.blob.arrayBuffer()] as const));
    await write(bytes.map(([sha256, content]) => ['put', 'photos', sha256, content]));
  }
  await record(made);
  await countPhotos();
}

/** Counts what is still to be sent. */
export async function countPhotos(): Promise<void> {
  photosUnsent.value = (await keys('photos')).length;
}

/** Sends every photo, in pieces, from where the machine says it stopped; a sent one is let go. */
export async function sendPhotos(put: (path: string, piece: Blob) => Promise<number>): Promise<void> {
  for (const sha256 of await keys('photos')) {
    const content = await read<ArrayBuffer>('photos', sha256);
    if (content === undefined) continue;
    let at = await put(`api/photos/${sha256}?from=0&of=${content.byteLength}`, new Blob([]));
    while (at < content.byteLength) {
      at = await put(`api/photos/${sha256}?from=${at}&of=${content.byteLength}`, new Blob([content.slice(at, at + PIECE)]));
    }
    await write([['delete', 'photos', sha256]]);
  }
  await countPhotos();
}
