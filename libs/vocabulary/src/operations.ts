/** What is done to a window: operations, how far each can be undone, and the cautions it shows. */

export type Reversibility =
  | 'can be undone'
  | 'can be treated again'
  | 'cannot be undone'
  | 'depends';

export interface Operation {
  /** 'bond.epoxy' */
  readonly key: string;
  readonly group: OperationGroup;
  readonly label: string;
  readonly definition: string;
  readonly reversibility: Reversibility;
  readonly reversibilityHint: string;
  readonly cautions: readonly string[];
  /** Asks for a stated reason and a consent that names it. */
  readonly needsStatedReason: boolean;
}

export type OperationGroup =
  | 'examine'
  | 'secure'
  | 'clean'
  | 'glass'
  | 'paint'
  | 'lead'
  | 'panel'
  | 'support';

export const OPERATION_GROUPS: Record<OperationGroup, string> = {
  examine: 'Look and test',
  secure: 'Secure',
  clean: 'Clean',
  glass: 'Glass',
  paint: 'Paint and surface',
  lead: 'Lead and cement',
  panel: 'Panel',
  support: 'Support and protection',
};

type Row = readonly [
  key: string,
  label: string,
  definition: string,
  reversibility: Reversibility,
  hint: string,
  cautions: string,
  needsStatedReason?: true,
];

const UNDO = 'can be undone';
const AGAIN = 'can be treated again';
const NEVER = 'cannot be undone';
const DEPENDS = 'depends';

const ROWS: Record<OperationGroup, readonly Row[]> = {
  examine: [
    [
      'examine.survey',
      'survey',
      'looked at and recorded in place',
      UNDO,
      'nothing is changed',
      'height',
    ],
    [
      'examine.paint-test',
      'paint test',
      'adhesion of paint tested at stated places',
      DEPENDS,
      'a failed test loses what it touched',
      'untested-paint',
    ],
    [
      'examine.cleaning-trial',
      'cleaning trial',
      'a small area cleaned to find method and stop',
      NEVER,
      'the trial area stays cleaned',
      'untested-paint solvents',
    ],
    [
      'examine.sample',
      'sample taken',
      'lead, putty, glass or paint taken for analysis',
      NEVER,
      'keep what is left of the sample',
      'asbestos-putty lead-dust',
    ],
    [
      'examine.rubbing',
      'rubbing',
      'wax rubbing of the leads on paper',
      UNDO,
      'nothing is changed when paint holds',
      'loose-paint',
    ],
  ],
  secure: [
    [
      'secure.face',
      'facing',
      'loose paint or cracks covered for handling',
      UNDO,
      'name the adhesive and its solvent',
      'tape-on-paint untested-paint',
    ],
    [
      'secure.consolidate',
      'consolidate paint',
      'loose paint fixed to the glass',
      DEPENDS,
      'a resin soaks in: it can rarely be taken out',
      'untested-paint solvents',
    ],
    [
      'secure.support',
      'support',
      'panel held to its shape for transport or rubbing',
      UNDO,
      'taken off again',
      'lifting',
    ],
  ],
  clean: [
    [
      'clean.dry',
      'clean, dry',
      'soft brush, vacuum or sponge',
      NEVER,
      'what was taken off is gone',
      'untested-paint lead-dust',
    ],
    [
      'clean.wet',
      'clean, wet',
      'water or water with alcohol on swabs',
      NEVER,
      'what was taken off is gone',
      'untested-paint',
    ],
    [
      'clean.solvent',
      'clean, solvent',
      'residues taken off with a named solvent',
      NEVER,
      'what was taken off is gone',
      'untested-paint solvents',
    ],
    [
      'clean.mechanical',
      'clean, by tool',
      'crust thinned by scalpel, glass-fibre or ultrasonic tool',
      NEVER,
      'say where it stopped',
      'untested-paint lead-dust',
    ],
    [
      'clean.putty',
      'old cement off',
      'putty softened and taken from edges',
      NEVER,
      'keep a sample',
      'asbestos-putty lead-dust',
    ],
  ],
  glass: [
    [
      'bond.epoxy',
      'bond, epoxy',
      'break joined edge to edge with epoxy',
      AGAIN,
      'softens in a stated solvent, not without risk',
      'adhesives',
    ],
    [
      'bond.silicone',
      'bond, silicone',
      'break joined edge to edge with neutral silicone',
      AGAIN,
      'can be cut and peeled',
      'adhesives',
    ],
    [
      'bond.acrylic',
      'bond, acrylic',
      'break joined edge to edge with an acrylic resin',
      AGAIN,
      'soluble in a stated solvent',
      'adhesives solvents',
    ],
    [
      'foil',
      'copper foil',
      'break or joint closed with foil and solder',
      AGAIN,
      'foil comes off with heat',
      'lead-dust broken-glass',
    ],
    [
      'plate',
      'plate',
      'a sheet set before or behind the piece',
      UNDO,
      'edge seal is cut, glass untouched',
      'broken-glass adhesives',
    ],
    [
      'infill.glass',
      'infill, glass',
      'missing part made up in new glass, marked and dated',
      UNDO,
      'taken out with the lead or bond',
      'broken-glass',
    ],
    [
      'infill.resin',
      'infill, resin',
      'missing part filled with resin',
      AGAIN,
      'cut out or softened',
      'adhesives',
    ],
    [
      'replace',
      'replace piece',
      'a new piece in place of one that is lost or kept elsewhere',
      UNDO,
      'keep the old piece with its number',
      'broken-glass',
      true,
    ],
    [
      'make',
      'make new piece',
      'a piece of new work cut from its sheet',
      DEPENDS,
      'can be cut again while the glass is to be had',
      'broken-glass',
    ],
    [
      'mend-lead.remove',
      'mending lead out',
      'a lead in a break taken out and the halves bonded',
      NEVER,
      'the edges were ground when it was put in',
      'lead-dust adhesives',
    ],
    [
      'turn.back',
      'piece turned back',
      'a piece set back to front put right',
      UNDO,
      'can be turned again',
      'lead-dust',
    ],
  ],
  paint: [
    [
      'repaint.plate',
      'repaint on a plate',
      'missing paint fired on a separate sheet',
      UNDO,
      'the plate is taken off, the original untouched',
      'kiln broken-glass',
    ],
    [
      'repaint.cold',
      'repaint, cold',
      'missing paint retouched without firing',
      AGAIN,
      'soluble in a stated solvent',
      'untested-paint solvents',
    ],
    [
      'repaint.original',
      'repaint, fired on the original',
      'paint fired on original glass',
      NEVER,
      'never routine',
      'firing-originals kiln original-glass',
      true,
    ],
    [
      'paint.new',
      'paint new glass',
      'vitreous paint fired on a new piece',
      UNDO,
      'the new piece can be taken out',
      'kiln',
    ],
    [
      'stain',
      'silver stain',
      'silver stain fired on a new piece or a plate',
      UNDO,
      'the piece can be taken out',
      'kiln',
    ],
    [
      'gild',
      'gild',
      'leaf or powder gold laid',
      AGAIN,
      'taken off with the medium’s solvent',
      'solvents',
    ],
    [
      'etch',
      'etch',
      'flash or surface taken down by acid',
      NEVER,
      'glass taken away is gone',
      'hydrofluoric-acid original-glass',
      true,
    ],
  ],
  lead: [
    [
      'relead.part',
      'releaded in part',
      'some cames replaced, the rest kept',
      UNDO,
      'keep the old came or a sample of each profile',
      'lead-dust',
    ],
    [
      'relead.whole',
      'releaded whole',
      'the whole net replaced',
      NEVER,
      'the old leading is lost as a structure: rubbing, samples and profiles stay',
      'lead-dust',
      true,
    ],
    [
      'came.dress',
      'leaf dressed',
      'leaf bent back or dressed to the glass',
      UNDO,
      'lead tires when bent often',
      'lead-dust',
    ],
    ['solder', 'solder', 'joint soldered or resoldered', UNDO, 'opens with heat', 'lead-dust'],
    [
      'strap',
      'strap lead',
      'a leaf laid over a crack on one face',
      UNDO,
      'taken off with heat',
      'lead-dust',
    ],
    [
      'cement',
      'cement',
      'cement brushed under the leaf',
      AGAIN,
      'hardens: soak or cut out',
      'untested-paint',
    ],
  ],
  panel: [
    [
      'remove',
      'take out',
      'panel taken out of the opening',
      UNDO,
      'refixed',
      'height lifting broken-glass',
    ],
    [
      'dismantle',
      'take apart',
      'cames opened and pieces laid on the rubbing',
      NEVER,
      'keep lead samples and profiles',
      'lead-dust asbestos-putty broken-glass',
    ],
    [
      'flatten',
      'flatten',
      'bulge eased out',
      NEVER,
      'the old shape stays only in the record',
      'bulged-panel',
    ],
    ['assemble', 'assemble', 'pieces leaded up again', UNDO, 'can be taken apart', 'lead-dust'],
    [
      'refix',
      'refix',
      'panel put back, pointed and tied',
      UNDO,
      'can be taken out',
      'height lifting',
    ],
  ],
  support: [
    [
      'tie',
      'ties',
      'copper or lead ties soldered and twisted round the bar',
      UNDO,
      'opened by hand',
      'lead-dust',
    ],
    [
      'bar',
      'support bar',
      'bar mended, moved or new',
      UNDO,
      'numbers go with the drawing',
      'height',
    ],
    [
      'iron.treat',
      'ironwork treated',
      'rust taken off and coated',
      AGAIN,
      'coated again',
      'height solvents',
    ],
    [
      'stone.repair',
      'stone repaired',
      'stone of the frame mended by a mason',
      DEPENDS,
      'the mason’s record goes with it',
      'height',
    ],
    [
      'protect.glazing',
      'protective glazing',
      'outer glazing put in front, ventilated',
      UNDO,
      'moisture and heat change: watch it',
      'height lifting',
    ],
    ['seal', 'point and seal', 'edge between panel and frame closed', UNDO, 'raked out', 'height'],
  ],
};

/** Every operation, in the order of the work. */
export const OPERATIONS: readonly Operation[] = Object.entries(ROWS).flatMap(([group, rows]) =>
  rows.map(
    ([key, label, definition, reversibility, hint, cautions, needsStatedReason]): Operation => ({
      key,
      group: group as OperationGroup,
      label,
      definition,
      reversibility,
      reversibilityHint: hint,
      cautions: cautions.split(' '),
      needsStatedReason: needsStatedReason ?? false,
    }),
  ),
);

const BY_KEY = new Map(OPERATIONS.map((operation) => [operation.key, operation]));

/** The operation of a key, or undefined when there is none. */
export function operation(key: string): Operation | undefined {
  return BY_KEY.get(key);
}
