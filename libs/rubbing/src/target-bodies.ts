/** Seen tags grouped into what is rigid: single strips, or a whole uncut sheet. */
import type { SeenTag } from './tag-finder.js';
import type { TagBody } from './target-bundle.js';
import { stripOfTag, type TargetLayout, type TargetStrip, tagCornersMm } from './target-layout.js';

export interface SeenStrip {
  readonly layout: TargetLayout;
  readonly strip: TargetStrip;
  readonly tags: readonly SeenTag[];
}

/** Strips by name, each with its tags; tags of other makers are left out. */
export function stripsOf(tags: readonly SeenTag[]): SeenStrip[] {
  const strips = new Map<string, { layout: TargetLayout; strip: TargetStrip; tags: SeenTag[] }>();
  for (const tag of tags) {
    const of = stripOfTag(tag.id);
    if (!of) continue;
    const entry = strips.get(of.strip.name) ?? { layout: of.layout, strip: of.strip, tags: [] };
    entry.tags.push(tag);
    strips.set(of.strip.name, entry);
  }
  return [...strips.values()];
}

/** One body a strip, in the strip's own frame. @param printScale true length of a printed millimetre */
export function stripBody(seen: SeenStrip, printScale: number): TagBody {
  return bodyOf(seen.strip.name, [seen], printScale, false);
}

/** The uncut sheet as one body. */
export function sheetBody(strips: readonly SeenStrip[], printScale: number): TagBody {
  return bodyOf(strips[0]!.layout.paper, strips, printScale, true);
}

function bodyOf(
  name: string,
  strips: readonly SeenStrip[],
  printScale: number,
  onSheet: boolean,
): TagBody {
  const xyMm: number[] = [];
  const px: number[] = [];
  for (const { strip, tags } of strips) {
    const [left, top] = onSheet ? [strip.leftMm, strip.topMm] : [0, 0];
    for (const seen of tags) {
      const tag = strip.tags.find((t) => t.id === seen.id)!;
      for (const [x, y] of tagCornersMm(tag)) {
        xyMm.push((x + left) * printScale, (y + top) * printScale);
      }
      px.push(...seen.cornersPx);
    }
  }
  return { name, xyMm: Float64Array.from(xyMm), px: Float64Array.from(px) };
}
