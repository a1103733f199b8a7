import { memo } from 'react';
import type { PanelPlace } from '#libs/elevation';
import { boxOf } from '../drawing/plane.js';
import { readNet } from '../platform/api/nets.js';
import { useAnswer } from '../platform/use-answer.js';
import { pathData } from './window-shape.js';

/** The lead drawing of one panel inside the elevation, once it is large enough on screen. */
export const PanelNet = memo(function PanelNet({
  panelId,
  revision,
  place,
}: {
  panelId: string;
  revision: number;
  place: PanelPlace;
}) {
  const net = useAnswer(`net ${panelId} ${revision}`, (signal) =>
    readNet(panelId, revision, signal),
  );
  if (!net.value) return null;
  const from = boxOf(net.value.outlineMm);
  const { minX, minY, maxX, maxY } = place.boundsMm;
  // The drawing has the panel's own frame; the elevation says where its middle hangs.
  const dx = (minX + maxX) / 2 - (from.minX + from.maxX) / 2;
  const dy = (minY + maxY) / 2 - (from.minY + from.maxY) / 2;
  return (
    <g transform={`translate(${dx} ${dy})`} pointerEvents="none">
      <path d={pathData(net.value.outlineMm)} fill="#d3d6cd" />
      {net.value.leads.map((lead) => (
        <path
          key={lead.leadId}
          d={pathData(lead.lineMm).slice(0, -1)}
          fill="none"
          stroke="#0c0d0d"
          strokeWidth={lead.faceWidthMm}
          strokeLinecap="round"
        />
      ))}
    </g>
  );
});
