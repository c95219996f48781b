/** Sealing what lies on the phone: a key of its own, itself wrapped by a passphrase. Knows no database and no page. */

/**
 * How the key is wrapped, kept beside what it seals.
 *
 * PBKDF2 with HMAC-SHA-256 (RFC 8018, 5.2) makes a wrapping key of the passphrase; AES-256-GCM (NIST SP 800-38D)
 * seals the key of the store with it, and every value with that one.
 */
export interface Lock {
  version: 1;
  rounds: number;
  salt: Uint8Array<ArrayBuffer>;
  iv: Uint8Array<ArrayBuffer>;
  wrapped: ArrayBuffer;
}

/** What OWASP's password storage cheat sheet asks of PBKDF2-HMAC-SHA256 (2023; from memory). */
export const ROUNDS = 600_000;
/** Fewest letters of a passphrase; a choice, more than the 8 of NIST SP 800-63B, as tries cannot be slowed once the phone is copied. */
export const SHORTEST = 10;
const AES = { name: 'AES-GCM', length: 256 };
const JSON_TEXT = 0;
const BYTES = 1;

async function wrapping(passphrase: string, salt: Uint8Array<ArrayBuffer>, rounds: number): Promise<CryptoKey> {
  const words = new TextEncoder().encode(passphrase.normalize('NFKC').trim());
  const from = await crypto.subtle.importKey('raw', words, 'PBKDF2', false, ['deriveKey']);
  return crypto.subtle.deriveKey({ name: 'PBKDF2', hash: 'SHA-256', salt, iterations: rounds }, from, AES, false, ['wrapKey', 'unwrapKey']);
}

/** Makes a key for a store. Only here it can be read out, to be wrapped. */
export const makeKey = (): Promise<CryptoKey> => crypto.subtle.generateKey(AES, true, ['encrypt', 'decrypt']);

/** Wraps a key with a passphrase. */
export async function wrap(key: CryptoKey, passphrase: string, rounds = ROUNDS): Promise<Lock> {
  const [salt, iv] = [crypto.getRandomValues(new Uint8Array(16)), crypto.getRandomValues(new Uint8Array(12))];
  const with_ = await wrapping(passphrase, salt, rounds);
  return { version: 1, rounds, salt, iv, wrapped: await crypto.subtle.wrapKey('raw', key, with_, { name: 'AES-GCM', iv }) };
}

/** Unwraps the key; null when the passphrase is another one. Readable only when it shall be wrapped again. */
export async function unwrap(lock: Lock, passphrase: string, readable = false): Promise<CryptoKey | null> {
  const with_ = await wrapping(passphrase, lock.salt, lock.rounds);
  try {
    return await crypto.subtle.unwrapKey('raw', lock.wrapped, with_, { name: 'AES-GCM', iv: lock.iv }, AES, readable, ['encrypt', 'decrypt']);
  } catch {
    return null;
  }
}

/** Seals a value for one place, so that no box can stand for another: 12 bytes of IV, then the box with its tag. */
export async function seal(key: CryptoKey, where: string, value: unknown): Promise<ArrayBuffer> {
  const content = value instanceof ArrayBuffer ? new Uint8Array(value) : new TextEncoder().encode(JSON.stringify(value));
  const plain = new Uint8Array(content.length + 1);
  plain[0] = value instanceof ArrayBuffer ? BYTES : JSON_TEXT;
  plain.set(content, 1);
  const iv = crypto.getRandomValues(new Uint8Array(12));
  const box = new Uint8Array(await crypto.subtle.encrypt({ name: 'AES-GCM', iv, additionalData: new TextEncoder().encode(where) }, key, plain));
  const sealed = new Uint8Array(12 + box.length);
  sealed.set(iv);
  sealed.set(box, 12);
  return sealed.buffer;
}

/** Opens what `seal` made for the same place. */
export async function unseal(key: CryptoKey, where: string, sealed: ArrayBuffer): Promise<unknown> {
  const iv = sealed.slice(0, 12);
  const plain = await crypto.subtle.decrypt({ name: 'AES-GCM', iv, additionalData: new TextEncoder().encode(where) }, key, sealed.slice(12));
  return new Uint8Array(plain)[0] === BYTES ? plain.slice(1) : JSON.parse(new TextDecoder().decode(plain.slice(1)));
}
