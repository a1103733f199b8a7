/** Kinds of questions that the past is asked; each gives another one for every round. */
import { FINDING_TERMS, OPERATIONS } from '#libs/vocabulary';
import { benchSiteCode, benchWindow, SITES, WINDOWS } from './rows.js';

export interface Question {
  readonly name: string;
  /** query of the route, without `?` */
  of(round: number): string;
}

const WORDS = [
  'epoxy',
  'crust',
  'ruby',
  'shellac',
  'flash edge',
  'beeswax',
  'pitted crust under putty',
  'rust stained',
  'matt',
  'swab stopped',
];
const common = OPERATIONS.slice(0, 8);
const rare = OPERATIONS.slice(-8);
const pick = <T>(list: readonly T[], round: number) => list[round % list.length]!;
const site = (round: number) => benchSiteCode((round * 7) % SITES);
const window = (round: number) => benchWindow((round * 11) % WINDOWS);
const year = (round: number) => 1800 + ((round * 13) % 180);

export const QUESTIONS: readonly Question[] = [
  { name: 'epoxy on sII before 2000', of: (r) => `q=epoxy&mark=${window(r)}&to=1999` },
  {
    name: 'who repainted faces',
    of: () =>
      'operation=repaint.plate&operation=repaint.cold&operation=repaint.original&shows=face',
  },
  { name: 'pieces with two generations', of: (r) => `kind=piece&generations=${2 + (r % 2)}` },
  { name: 'one word', of: (r) => `q=${encodeURIComponent(pick(WORDS, r))}` },
  {
    name: 'a beginning of a word',
    of: (r) => `q=${pick(['epo', 'shel', 'bee', 'rus', 'qua'], r)}`,
  },
  {
    name: 'two common words',
    of: (r) => `q=${pick(['old putty', 'cold paint', 'line face', 'thin film'], r)}`,
  },
  { name: 'a word nobody wrote', of: (r) => `q=zirconium${r}` },
  { name: 'a common operation', of: (r) => `operation=${pick(common, r).key}` },
  { name: 'a rare operation', of: (r) => `operation=${pick(rare, r).key}` },
  { name: 'a common term', of: (r) => `term=${pick(FINDING_TERMS.slice(0, 5), r).key}` },
  { name: 'a rare term', of: (r) => `term=${pick(FINDING_TERMS.slice(-10), r).key}` },
  {
    name: 'a term and an operation, never together',
    of: (r) => `term=${pick(FINDING_TERMS, r).key}&operation=${pick(common, r).key}`,
  },
  {
    name: 'findings with an operation, never together',
    of: (r) => `kind=finding&operation=${pick(common, r).key}`,
  },
  { name: 'a window of one site', of: (r) => `mark=${site(r)}.${window(r)}` },
  { name: 'a panel', of: (r) => `mark=${site(r)}.${window(r)}.2b` },
  { name: 'a piece', of: (r) => `mark=${site(r)}.${window(r)}.2b.${1 + (r % 60)}` },
  {
    name: 'a material by a role',
    of: (r) =>
      `material=${encodeURIComponent(pick(['epoxy resin, water-clear', 'silicone, neutral', 'shellac'], r))}&role=${pick(['glazier', 'painter'], r)}`,
  },
  { name: 'about a year', of: (r) => `from=${year(r)}~&to=${year(r)}~` },
  {
    name: 'certainly within ten years',
    of: (r) => `dates=certainly&from=${year(r)}&to=${year(r) + 9}`,
  },
  { name: 'work before 1900', of: () => 'kind=intervention&to=1899' },
  { name: 'findings at one site since 2020', of: (r) => `kind=finding&site=${site(r)}&from=2020` },
  { name: 'everything', of: () => 'limit=30' },
];
