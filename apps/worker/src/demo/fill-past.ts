/** Records the chapel's earlier years, by the same routes as everything else. */
import type { DemoClient } from './demo-client.js';
import {
  glassOf,
  PAST_WORK,
  type PastClass,
  WEST_VISITS,
  westClasses,
  westFindings,
} from './sallowmere-past.js';

interface Panel {
  readonly panelId: string;
  readonly mark: string;
  readonly ringMm: readonly number[];
}

/** Writes that are under way at once. */
const AT_ONCE = 4;

export async function recordPastWork(glazier: DemoClient, siteId: string): Promise<void> {
  for (const { key, ...work } of PAST_WORK)
    await glazier.post(`/v1/sites/${siteId}/interventions`, `demo-past-${key}`, work);
}

/** Visits to the west window, each with the classes of its panels, and what was found on it. */
export async function recordSurveys(
  surveyor: DemoClient,
  windowId: string,
  panels: readonly Panel[],
): Promise<void> {
  for (const { happened, ...visit } of WEST_VISITS) {
    const seen = panels.flatMap(({ panelId, mark }) =>
      westClasses(mark)
        .filter((said) => said.happened === happened)
        .map((said) => ({ panelId, ...judged(said) })),
    );
    await surveyor.post(`/v1/windows/${windowId}/surveys`, `demo-visit-${happened}`, {
      ...visit,
      happened,
      panels: seen,
    });
  }
  const acts = panels.flatMap(({ panelId, mark, ringMm }) =>
    westFindings(mark).map(
      ({ key, term, kind, at, happened }) =>
        () =>
          surveyor.post(`/v1/panels/${panelId}/findings`, `demo-west-${mark}-${key}`, {
            term,
            face: 'inside',
            happened,
            geometry: { kind, xyMm: inPanel(ringMm, at) },
          }),
    ),
  );
  const work = async () => {
    for (let act = acts.shift(); act; act = acts.shift()) await act();
  };
  await Promise.all(Array.from({ length: AT_ONCE }, work));
}

/** The surveyor's class, and as urgent as that; nothing is urgent where nobody looked. */
function judged({ conditionClass, reason }: PastClass) {
  const number = typeof conditionClass === 'number' ? conditionClass : null;
  return {
    conditionClass,
    urgency: number,
    recommendation: number,
    reasons: [{ text: reason, source: 'surveyor' }],
  };
}

/** Says of the numbered pieces of a panel what glass they are. */
export async function describeGlass(
  surveyor: DemoClient,
  panelId: string,
  mark: string,
): Promise<void> {
  const { items } = await surveyor.get<{
    items: {
      pieceId: string;
      mark: string;
      provisional: boolean;
      glass: string | null;
      version: number;
    }[];
  }>(`/v1/panels/${panelId}/pieces`);
  for (const [index, piece] of items.filter(({ provisional }) => !provisional).entries()) {
    const glass = glassOf(index);
    if (glass === null || piece.glass === glass) continue;
    await surveyor.put(
      `/v1/pieces/${piece.pieceId}`,
      `demo-glass-${mark}-${piece.mark}`,
      { glass },
      piece.version,
    );
  }
}

/** Shares of a panel's width and height in its own frame, mm. */
function inPanel(ringMm: readonly number[], at: readonly (readonly [number, number])[]) {
  const span = (axis: 0 | 1) => {
    const along = ringMm.filter((_, i) => i % 2 === axis);
    return Math.max(...along) - Math.min(...along);
  };
  const [width, height] = [span(0), span(1)];
  const tenth = (mm: number) => Math.round(mm * 10) / 10;
  return at.map(([x, y]) => [tenth(x * width), tenth(y * height)]);
}
