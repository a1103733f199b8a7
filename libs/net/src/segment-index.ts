import Flatbush from 'flatbush';
import type { XyMm } from './net.js';

/** Boxes of segments, to ask which lie near a place; an answer is a segment's place in the list. */
export function segmentIndex(segments: readonly { from: XyMm; to: XyMm }[]): Flatbush {
  const index = new Flatbush(Math.max(1, segments.length));
  for (const { from, to } of segments) {
    index.add(
      Math.min(from[0], to[0]),
      Math.min(from[1], to[1]),
      Math.max(from[0], to[0]),
      Math.max(from[1], to[1]),
    );
  }
  // an index wants one box at least: this one lies near nothing
  if (segments.length === 0) index.add(Infinity, Infinity, Infinity, Infinity);
  index.finish();
  return index;
}
