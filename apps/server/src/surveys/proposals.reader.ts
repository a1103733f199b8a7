import { Injectable } from '@nestjs/common';
import {
  Archive,
  drawingInForce,
  type FindingRow,
  type PanelRow,
  type PieceRow,
} from '#libs/archive';
import { pointsOfFlat } from '#libs/net';
import { type ProposedReasons, proposedReasons, type SurveyedFinding } from '#libs/survey';
import type { MeasuredPiece } from '#libs/vocabulary';

/** What the records say of each panel of a window, as reasons that a surveyor may take. */
@Injectable()
export class ProposalsReader {
  constructor(private readonly archive: Archive) {}

  async ofWindow(
    windowId: string,
  ): Promise<(ProposedReasons & { panelId: string; mark: string })[]> {
    const { reads } = this.archive;
    const panels = await reads.query<PanelRow>(
      'SELECT * FROM panel WHERE window_id = $1 AND NOT retired ORDER BY sort_key',
      [windowId],
    );
    const findings = await reads.query<FindingRow>(
      `SELECT f.* FROM finding f JOIN panel p USING (panel_id)
       WHERE p.window_id = $1 AND f.state = 'recorded' ORDER BY f.entry_seq`,
      [windowId],
    );
    const told: (ProposedReasons & { panelId: string; mark: string })[] = [];
    for (const panel of panels) {
      const { panelId, mark } = panel;
      const said = findings.filter((row) => row.panelId === panelId);
      // Without findings there is nothing to propose, and no drawing need be read.
      const pieces = said.length === 0 ? [] : await this.#pieces(panel);
      const given = said.map(
        ({ findingId, term, inPanel, geometry, measure }): SurveyedFinding => ({
          findingId,
          term,
          inPanel,
          geometry: geometry as SurveyedFinding['geometry'],
          measure: measure as SurveyedFinding['measure'],
        }),
      );
      told.push({ panelId, mark, ...proposedReasons(given, pieces) });
    }
    return told;
  }

  /** Of the drawing in force, else the tracings. */
  async #pieces(panel: PanelRow): Promise<readonly MeasuredPiece[]> {
    const { reads: tx, objects } = this.archive;
    const drawn = await drawingInForce({ tx, objects }, panel);
    if (drawn !== undefined) return drawn.net.pieces;
    const traced = await tx.query<PieceRow>(
      'SELECT * FROM piece WHERE panel_id = $1 AND provisional AND NOT retired',
      [panel.panelId],
    );
    return traced.map(({ mark, ringMm }) => ({
      pieceId: mark,
      centreRingMm: pointsOfFlat(ringMm),
      sightRingsMm: [pointsOfFlat(ringMm)],
    }));
  }
}
