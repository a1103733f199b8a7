/**
 * The archive's key on disk, and how one file takes the place of another so that a kill at any
 * moment leaves the key in force in reach.
 *
 * `archive-key.pem` is the key; `archive-key.next.pem` lies beside it while the key is being changed;
 * `archive-key.FINGERPRINT.pem` is a key that was in force, kept until somebody removes it.
 */
import { generateKeyPairSync, type KeyObject } from 'node:crypto';
import {
  closeSync,
  existsSync,
  fsyncSync,
  linkSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
} from 'node:fs';
import { dirname } from 'node:path';
import { writePrivateFile } from '#libs/db';
import { type ArchiveSigner, type KeyRing, signerFromPem } from '../signer.js';

/** Something about the archive's key that a person must see to; the message says what. */
export class KeyFault extends Error {
  override readonly name = 'KeyFault';
}

/** Keys in reach of a key file. A key that another process put there is found when it is asked for. */
export class KeyFile implements KeyRing {
  #current: ArchiveSigner;

  private constructor(
    readonly place: string,
    current: ArchiveSigner,
  ) {
    this.#current = current;
  }

  /** @throws KeyFault when there is no readable key in it */
  static open(path: string): KeyFile {
    if (!existsSync(path)) {
      throw new KeyFault(
        `${path}, the archive's key, is missing. Put it back from the backup; if it is lost, run: mullion admin key recover`,
      );
    }
    const signer = signerIn(path);
    if (signer !== undefined) return new KeyFile(path, signer);
    throw new KeyFault(
      `${path} cannot be read as the archive's key. Put it back from the backup; if it is lost, run: mullion admin key recover`,
    );
  }

  get current(): ArchiveSigner {
    return this.#current;
  }

  signerOf(fingerprint: string): ArchiveSigner | undefined {
    if (this.#current.fingerprint === fingerprint) return this.#current;
    const found = heldKey(this.place, fingerprint);
    if (found !== undefined) this.#current = found;
    return found;
  }
}

/** The key with this fingerprint, in the key file or on its way into it. */
export function heldKey(path: string, fingerprint: string): ArchiveSigner | undefined {
  return [path, nextKeyPath(path)]
    .map(signerIn)
    .find((signer) => signer?.fingerprint === fingerprint);
}

export function nextKeyPath(path: string): string {
  return beside(path, 'next');
}

/** Where a key that was in force is kept. */
export function formerKeyPath(path: string, fingerprint: string): string {
  return beside(path, fingerprint);
}

export function newKeyPem(): string {
  return pemOf(generateKeyPairSync('ed25519').privateKey);
}

export function pemOf(key: KeyObject): string {
  return key.export({ format: 'pem', type: 'pkcs8' }).toString();
}

/** Lays a key beside the one in force. @returns its signer */
export function layNextKey(path: string, pem: string): ArchiveSigner {
  writePrivateFile(nextKeyPath(path), pem);
  return signerFromPem(pem);
}

/** The key beside takes the place of the key file, which is kept under its fingerprint. May be repeated. */
export function placeNextKey(path: string): void {
  const next = nextKeyPath(path);
  if (!existsSync(next)) return;
  const former = signerIn(path);
  if (former !== undefined && former.fingerprint !== signerIn(next)?.fingerprint) {
    keptBeside(path, formerKeyPath(path, former.fingerprint));
  } else if (former === undefined && existsSync(path)) {
    keptBeside(path, beside(path, 'unreadable'));
  }
  renameSync(next, path);
  flushFolder(path);
}

export function dropNextKey(path: string): void {
  rmSync(nextKeyPath(path), { force: true });
  flushFolder(path);
}

function keptBeside(path: string, name: string): void {
  try {
    linkSync(path, name);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
  }
}

function signerIn(path: string): ArchiveSigner | undefined {
  try {
    return signerFromPem(readFileSync(path));
  } catch {
    return undefined; // not there, or no key: the callers say which, and what to do
  }
}

function beside(path: string, word: string): string {
  return path.endsWith('.pem') ? `${path.slice(0, -4)}.${word}.pem` : `${path}.${word}`;
}

function flushFolder(path: string): void {
  const folder = openSync(dirname(path), 'r');
  try {
    fsyncSync(folder);
  } finally {
    closeSync(folder);
  }
}
