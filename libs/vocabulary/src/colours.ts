/**
 * Colours of the legend: the eight colours that people with any common colour vision tell apart.
 * Source: Okabe and Ito, Color Universal Design, 2008 (values from memory, widely republished).
 */
export const OKABE_ITO = {
  black: '#000000',
  orange: '#e69f00',
  'sky-blue': '#56b4e9',
  'bluish-green': '#009e73',
  yellow: '#f0e442',
  blue: '#0072b2',
  vermilion: '#d55e00',
  'reddish-purple': '#cc79a7',
} as const;

export type ColourName = keyof typeof OKABE_ITO;

/** Too light for thin strokes on paper: these get a dark ink and keep their colour as a tint. */
const PALE: readonly ColourName[] = ['yellow', 'sky-blue', 'orange'];

/** How a colour is put on paper: the ink of strokes and edges, and the tint of areas. */
export function inkOf(colour: ColourName): { ink: string; tint: string; tintOpacity: number } {
  const isPale = PALE.includes(colour);
  return {
    ink: isPale ? '#3b362c' : OKABE_ITO[colour],
    tint: OKABE_ITO[colour],
    tintOpacity: isPale ? 0.4 : 0.16,
  };
}
