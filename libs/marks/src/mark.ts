/**
 * The mark: one name for one place, `SITE[:UNIT].WINDOW.PANEL.PIECE`.
 *
 * ```ebnf
 * mark        = building , [ "." , window , [ "." , ( light , [ "." , fitting ]
 *                                                   | fitting
 *                                                   | opening , [ "." , in-panel ] ) ] ] ;
 * building    = site , [ ":" , unit ] ;
 * site        = 2 * 8 ( capital | digit ) ;
 * unit        = 1 * 8 ( capital | digit ) ;           (* a building counted on its own *)
 * window      = church | free ;                       (* which one stands with the site *)
 * church      = "I"                                   (* on the axis, ground storey *)
 *             | side , roman from II                  (* no nI, no sI *)
 *             | "w" , roman from I ;                  (* west; bare w is refused *)
 * side        = "n" | "s"                             (* ground storey *)
 *             | "nt" | "st"                           (* middle storey *)
 *             | "N" | "S" ;                           (* upper storey *)
 * free        = small , { small | digit | "-" } , digit ;             (* 2 to 12 characters *)
 * light       = small , [ small ] ;                   (* a … z, aa … zz from the left, from inside *)
 * opening     = panel | tracery ;
 * panel       = number , light ;                      (* row from the bottom *)
 * tracery     = capital , number ;                    (* row, then number from the left *)
 * in-panel    = piece | part | replacement | shard | plate | lead | joint ;
 * piece       = number ;          part        = number , small ;
 * replacement = number , "r" , number ;
 * shard       = number , "s" , number ;
 * plate       = number , "p" , number ;
 * lead        = "L" , number ;    joint       = "J" , number ;
 * fitting     = ( "bar" | "tie" | "stone" ) , "-" , number ;
 * number      = digit without 0 , { digit } ;         (* at most 5 digits; no leading zeros *)
 * roman       = the canonical numeral of 1 to 3999 ;
 * ```
 *
 * Input may have an Arabic window number (`n2` for nII); the mark is always written Roman.
 * Source: windows, panels and tracery follow the numbering convention of the Corpus Vitrearum
 * (rules N1-N10, as far as they are published); site, unit, free windows and all that lies in a
 * panel are our own.
 */

/** `church`: the Corpus Vitrearum convention; `free`: other buildings. Stands with the site. */
export type Scheme = 'church' | 'free';

export type Storey = 'ground' | 'middle' | 'upper';
export type Side = 'axis' | 'n' | 's' | 'w';

export type WindowMark =
  | { scheme: 'church'; storey: Storey; side: Side; number: number }
  | { scheme: 'free'; name: string };

export type FittingKind = 'bar' | 'tie' | 'stone';

export interface FittingMark {
  kind: FittingKind;
  number: number;
}

/** Lights and columns are counted from 1, left to right as seen from inside; rows from the bottom. */
export interface PanelMark {
  kind: 'panel';
  row: number;
  light: number;
}

export interface TraceryMark {
  kind: 'tracery';
  /** A to Z */
  row: string;
  number: number;
}

export type OpeningMark = PanelMark | TraceryMark;

export type InPanelMark =
  | { kind: 'piece'; number: number }
  | { kind: 'part'; number: number; letter: string }
  | { kind: 'replacement' | 'shard' | 'plate'; number: number; index: number }
  | { kind: 'lead'; number: number }
  | { kind: 'joint'; number: number };

/** A place, from the outside in; each level needs the one before it. */
export interface Mark {
  site: string;
  unit?: string;
  window?: WindowMark;
  /** a light of the window, named for itself or to hold a fitting */
  light?: number;
  opening?: OpeningMark;
  inPanel?: InPanelMark;
  fitting?: FittingMark;
}

export type MarkKind =
  | 'site'
  | 'unit'
  | 'window'
  | 'light'
  | OpeningMark['kind']
  | InPanelMark['kind']
  | FittingKind;

/** What the mark names, by its innermost part. */
export function kindOf(mark: Mark): MarkKind {
  if (mark.fitting !== undefined) return mark.fitting.kind;
  if (mark.inPanel !== undefined) return mark.inPanel.kind;
  if (mark.opening !== undefined) return mark.opening.kind;
  if (mark.light !== undefined) return 'light';
  if (mark.window !== undefined) return 'window';
  return mark.unit === undefined ? 'site' : 'unit';
}

/**
 * The place around this one: piece 17 of part 17a, the panel of a lead, the light or window of a
 * bar, the building of a window.
 * @returns undefined for a site
 */
export function parentOf(mark: Mark): Mark | undefined {
  const { fitting, inPanel, opening, light, window, unit, ...site } = mark;
  const building: Mark = unit === undefined ? site : { ...site, unit };
  if (window === undefined) return unit === undefined ? undefined : site;
  const inWindow: Mark = { ...building, window };
  if (fitting !== undefined) return light === undefined ? inWindow : { ...inWindow, light };
  if (inPanel !== undefined && opening !== undefined) {
    const isWhole = ['piece', 'lead', 'joint'].includes(inPanel.kind);
    const inOpening: Mark = { ...inWindow, opening };
    return isWhole
      ? inOpening
      : { ...inOpening, inPanel: { kind: 'piece', number: inPanel.number } };
  }
  return opening === undefined && light === undefined ? building : inWindow;
}
