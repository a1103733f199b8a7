/** What the demo says of the invented Sallowmere Chapel. No real place or person. */

export const DEMO_PEOPLE = [
  { displayName: 'Surveyor', login: 'surveyor', role: 'recorder' },
  { displayName: 'Glazier', login: 'glazier', role: 'conservator' },
  { displayName: 'Painter', login: 'painter', role: 'conservator' },
] as const;

export const DEMO_SITE = {
  code: 'SLM',
  name: 'Sallowmere Chapel',
  scheme: 'church',
  place: 'ferry landing on the tidal Sallow',
} as const;

/** Panels of sII in the order in which the demo fills them: those with photographs first. Sizes over the outer leads. */
export const DEMO_PANELS = [
  { mark: '2a', sizeMm: [360, 450], shows: 'The ferryman at his oar, head and shoulders' },
  { mark: '2b', sizeMm: [360, 450], shows: 'A traveller with a staff, looking back to the shore' },
  { mark: '1a', sizeMm: [360, 470], shows: 'Bands of river water with weed' },
  { mark: '1b', sizeMm: [360, 470], shows: 'Quarries with a painted reed' },
  { mark: '3a', sizeMm: [360, 520], shows: 'Canopy with a lantern' },
  { mark: '3b', sizeMm: [360, 520], shows: 'Canopy with a heron' },
  { mark: 'A1', sizeMm: [380, 380], shows: 'A wheel of eight, the tide turning' },
] as const;

export const RUBBING_CONDITIONS = {
  paintTested: true,
  looseAreas: 'covered',
  panelSupported: true,
} as const;

export const RUBBING_SHEET = {
  medium: 'black heelball on lining paper',
  face: 'inside',
  layer: 'front',
  sheets: 1,
  takenBy: 'Glazier',
} as const;

export const DEMO_INTERVENTIONS = [
  {
    key: 'past',
    operation: 'relead.whole',
    panels: ['1a', '1b', '2a', '2b', '3a', '3b', 'A1'],
    happened: '1931~',
    byText: 'not known; the parish accounts name only the price',
    evidence:
      'entry in the parish accounts for 1931; came profile of one period in the whole window',
    note: 'The whole window was releaded; no drawing was kept.',
  },
  {
    key: 'bond',
    operation: 'bond.epoxy',
    panels: ['2a'],
    happened: '2026-10-14',
    byRole: 'Glazier',
    material: 'two-part epoxy for glass, low viscosity, batch noted on the bench card',
    note: 'Bonded in the panel after a trial on the edge; the crack closed without step.',
  },
] as const;
