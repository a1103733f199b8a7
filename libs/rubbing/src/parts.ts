import { type Draft, type DraftLead, lineOf } from './draft.js';
import { rebuild } from './junctions.js';

/**
 * Keeps the panel and drops what else was rubbed or drawn on the sheet: marks, letters, a ruler. The panel is the part
 * of the net that encloses most; other parts stay only inside it and when they enclose at least `minIslandMm2`.
 */
export function panelOnly(draft: Draft, outside: number, minIslandMm2: number): Draft {
  const root = Int32Array.from({ length: draft.nodeCount }, (_, k) => k);
  const find = (a: number): number => {
    while (root[a] !== a) {
      root[a] = root[root[a]!]!;
      a = root[a]!;
    }
    return a;
  };
  for (const lead of draft.leads) root[find(lead.from)] = find(lead.to);
  const area = new Map<number, number>();
  const touchesOutside = new Set<number>();
  for (const lead of draft.leads) {
    const part = find(lead.from);
    const line = lineOf(draft, lead);
    let twice = 0;
    for (let k = 0; k + 3 < line.length; k += 2) {
      twice += line[k]! * line[k + 3]! - line[k + 2]! * line[k + 1]!;
    }
    // every lead bounds two regions; only those against the outside add to the part's own area
    if (lead.left === outside || lead.right === outside) {
      touchesOutside.add(part);
      const sign = lead.left === outside ? 1 : -1;
      area.set(part, (area.get(part) ?? 0) + (sign * twice) / 2);
    }
  }
  let main = -1;
  for (const [part, a] of area)
    if (main < 0 || Math.abs(a) > Math.abs(area.get(main)!)) main = part;
  if (main < 0) return draft;
  const gone = new Set<DraftLead>();
  const boxes = new Map<number, [number, number, number, number]>();
  for (const lead of draft.leads) {
    const part = find(lead.from);
    if (part === main) continue;
    if (touchesOutside.has(part)) {
      gone.add(lead);
      continue;
    }
    const box = boxes.get(part) ?? [Infinity, Infinity, -Infinity, -Infinity];
    const line = lineOf(draft, lead);
    for (let k = 0; k < line.length; k += 2) {
      box[0] = Math.min(box[0], line[k]!);
      box[1] = Math.min(box[1], line[k + 1]!);
      box[2] = Math.max(box[2], line[k]!);
      box[3] = Math.max(box[3], line[k + 1]!);
    }
    boxes.set(part, box);
  }
  for (const lead of draft.leads) {
    const box = boxes.get(find(lead.from));
    if (box && (box[2] - box[0]) * (box[3] - box[1]) * 0.6 < minIslandMm2) gone.add(lead);
  }
  return gone.size === 0 ? draft : rebuild(draft, gone, (k) => k);
}
