import type { DraftScene } from '../drawing/draft-scene.js';
import type { Chosen } from './hand.js';

export type Tool = 'move' | 'draw' | 'cut';

/** What the room wants to be shown; the board adds what the hand is doing. */
export type BoardScene = Omit<
  DraftScene,
  'line' | 'snap' | 'box' | 'chosenLeads' | 'chosenJoints'
> & {
  readonly chosen: Chosen;
  readonly tool: Tool;
  /** taps add to what is chosen */
  readonly many: boolean;
};
