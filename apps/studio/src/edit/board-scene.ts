import type { Drawing, Target } from '#libs/net';
import type { DraftScene } from '../drawing/draft-scene.js';
import type { Xy } from '../drawing/plane.js';
import type { Chosen } from './hand.js';

/** `choose`: taps add to what is chosen, dragging chooses all in a box. */
export type Tool = 'move' | 'draw' | 'cut' | 'choose';

/** What the room wants to be shown; the board adds what the hand is doing. */
export type BoardScene = Omit<
  DraftScene,
  'line' | 'snap' | 'box' | 'aim' | 'chosenLeads' | 'chosenJoints'
> & {
  readonly chosen: Chosen;
  readonly tool: Tool;
};

/** What the board tells the room. */
export interface DrawBoardEvents {
  /** @param xyMm where the tap was; null when a box was drawn */
  readonly onChoose: (chosen: Chosen, xyMm: Xy | null) => void;
  /** the hand let go: what it did, by name */
  readonly onAct: (name: string, drawing: () => Drawing) => void;
  readonly onLine: (line: readonly Target[], ended: boolean) => void;
  readonly onCut: (leadId: string, alongMm: number) => void;
  readonly onView: (resolutionMmPerPx: number) => void;
}
