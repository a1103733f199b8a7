/** The glass that is chosen for the pieces of a panel, cut or not. */
import type { GlassChoiceRow } from '../rows.js';
import type { Tx } from '../tx.js';

/** With the number of its piece. */
export type ChosenGlass = GlassChoiceRow & { readonly mark: string };

/** What stands: not taken back, of pieces that the drawing has; in the order of their numbers. */
export function chosenGlass(tx: Tx, panelId: string): Promise<ChosenGlass[]> {
  return tx.query<ChosenGlass>(
    `SELECT c.*, p.mark FROM glass_choice c JOIN piece p USING (piece_id)
     WHERE c.panel_id = $1 AND c.state <> 'taken-back' AND NOT p.retired ORDER BY p.sort_key`,
    [panelId],
    ['glass_choice', 'piece'],
  );
}
