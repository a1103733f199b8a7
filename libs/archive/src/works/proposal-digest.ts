import { createHash } from 'node:crypto';
import { canonicalBytes } from '#libs/ledger';
import { plainJson } from '../plain-json.js';
import type { ProposalLine } from './proposal-line.js';

/** What a consent is given to: SHA-256 of title and lines as RFC 8785 text, `sha256:…`. */
export function proposalDigest(title: string, lines: readonly ProposalLine[]): string {
  const bytes = canonicalBytes(plainJson({ title, lines }));
  return `sha256:${createHash('sha256').update(bytes).digest('hex')}`;
}
