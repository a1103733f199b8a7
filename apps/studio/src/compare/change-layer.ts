/** What differs between two drawings, drawn so that it can be told without its colour. */
import Feature, { type FeatureLike } from 'ol/Feature.js';
import LineString from 'ol/geom/LineString.js';
import VectorLayer from 'ol/layer/Vector.js';
import VectorSource from 'ol/source/Vector.js';
import Stroke from 'ol/style/Stroke.js';
import Style from 'ol/style/Style.js';
import type { Net, NetChange, NetLead } from '#libs/net';
import { lineToMap } from '../drawing/plane.js';
import { type Fate, fateLook } from './fate-look.js';

export interface DrawnLead {
  readonly lead: NetLead;
  readonly fate: Fate;
}

/** Every lead once, or twice where it moved: as it was and as it is. */
export function fates(before: Net, after: Net, change: NetChange): readonly DrawnLead[] {
  const movedIn = new Map(change.moved.map((move) => [move.afterLeadId, move.beforeLeadId]));
  const added = new Set(change.added.map(({ leadId }) => leadId));
  const erased = new Set(change.erased.map(({ leadId }) => leadId));
  const altered = new Set(
    [...change.widths, ...change.kinds, ...change.profiles].map(({ leadId }) => leadId),
  );
  const were = new Set(movedIn.values());
  const fateOf = ({ leadId }: NetLead): Fate => {
    if (added.has(leadId)) return 'added';
    if (movedIn.has(leadId)) return 'moved';
    return altered.has(leadId) ? 'altered' : 'same';
  };
  return [
    ...after.leads.map((lead) => ({ lead, fate: fateOf(lead) })),
    ...before.leads.flatMap((lead): DrawnLead[] =>
      erased.has(lead.leadId)
        ? [{ lead, fate: 'erased' }]
        : were.has(lead.leadId)
          ? [{ lead, fate: 'was' }]
          : [],
    ),
  ];
}

const order: readonly Fate[] = ['same', 'altered', 'moved', 'added', 'erased', 'was'];

/** Both drawings as one, each lead by its fate. */
export function overlaidLayer(leads: readonly DrawnLead[]): VectorLayer {
  const sorted = [...leads].sort((a, b) => order.indexOf(a.fate) - order.indexOf(b.fate));
  return new VectorLayer({
    source: new VectorSource({
      features: sorted.map(
        ({ lead, fate }) =>
          new Feature({ geometry: new LineString(lineToMap(lead.lineMm)), lead, fate }),
      ),
    }),
    style: fateStyle,
    updateWhileAnimating: true,
    updateWhileInteracting: true,
  });
}

function fateStyle(feature: FeatureLike, resolution: number): Style[] {
  const lead = feature.get('lead') as NetLead;
  const { colour, dashMm, isThin } = fateLook[feature.get('fate') as Fate];
  const widthPx = isThin ? 2.2 : Math.max(1.5, lead.faceWidthMm / resolution);
  const dash = dashMm?.map((mm) => Math.max(4, mm / resolution));
  const stroke = (color: string, width: number) =>
    new Style({
      stroke: new Stroke({
        color,
        width,
        lineCap: dash ? 'butt' : 'round',
        ...(dash ? { lineDash: dash } : {}),
      }),
    });
  return [stroke('#0b0d0e', widthPx + 2), stroke(colour, widthPx)];
}
