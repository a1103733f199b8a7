/** Net to text and back. Same net, same bytes. */

import type { Net } from './net.js';
import { NetError } from './net-error.js';
import { netSchema } from './net-schema.js';

/** One line for each joint, lead and piece, so that two revisions can be compared by eye. */
export function netJson(net: Net): string {
  const rows = Object.entries(net).map(([key, value]: [string, unknown]) => {
    const text =
      Array.isArray(value) && typeof value[0] === 'object' && !Array.isArray(value[0])
        ? `[\n${value.map((one) => `    ${JSON.stringify(one)}`).join(',\n')}\n  ]`
        : JSON.stringify(value);
    return `  ${JSON.stringify(key)}: ${text}`;
  });
  return `{\n${rows.join(',\n')}\n}\n`;
}

/**
 * Reads a net from its text, or from a value already parsed.
 *
 * @throws {NetError} `bad-file` (not JSON, a field wrong, a name that leads nowhere),
 *   `unknown-format` (a net of another version)
 */
export function readNet(stored: unknown): Net {
  let value = stored;
  if (typeof stored === 'string') {
    try {
      value = JSON.parse(stored) as unknown;
    } catch (cause) {
      const reason = cause instanceof Error ? cause.message : 'unreadable';
      throw new NetError('bad-file', `this is not a net file: ${reason}`);
    }
  }
  const format: unknown =
    typeof value === 'object' && value !== null && 'format' in value ? value.format : undefined;
  if (format !== 'mullion-net/1') {
    throw new NetError(
      format === undefined ? 'bad-file' : 'unknown-format',
      format === undefined
        ? 'this is not a net file: it has no "format"'
        : `this net has the format ${JSON.stringify(format)}; this program reads "mullion-net/1": ` +
            'open it with the version that wrote it, or a newer one',
    );
  }
  const parsed = netSchema.safeParse(value);
  if (!parsed.success) {
    const first = parsed.error.issues[0]!;
    throw new NetError('bad-file', `net file, at ${first.path.join('.')}: ${first.message}`);
  }
  // zod writes an absent optional field as `T | undefined`; the parsed value has no such key.
  const net = parsed.data as Net;
  checkNames(net);
  return net;
}

function checkNames(net: Net): void {
  const joints = unique(net.joints.map((joint) => joint.jointId));
  const leads = unique(net.leads.map((lead) => lead.leadId));
  const pieces = unique(net.pieces.map((piece) => piece.pieceId));
  const need = (known: ReadonlySet<string>, name: string | null, where: string) => {
    if (name !== null && !known.has(name)) {
      throw new NetError('bad-file', `net file: ${where} names ${name}, which is not there`);
    }
  };
  for (const lead of net.leads) {
    need(joints, lead.fromJointId, lead.leadId);
    need(joints, lead.toJointId, lead.leadId);
    need(pieces, lead.leftPieceId, lead.leadId);
    need(pieces, lead.rightPieceId, lead.leadId);
  }
  for (const piece of net.pieces) {
    for (const leadId of piece.leadIds) need(leads, leadId, `piece ${piece.pieceId}`);
  }
  for (const place of net.doubtfulPlaces) need(leads, place.leadId, 'a doubtful place');
}

function unique(names: readonly string[]): Set<string> {
  const set = new Set<string>();
  for (const name of names) {
    if (set.has(name)) throw new NetError('bad-file', `net file: ${name} is there twice`);
    set.add(name);
  }
  return set;
}
