import { readFileSync } from 'node:fs';
import { JSDOM } from 'jsdom';
import { type Block, layOutRecord } from './blocks.js';
import { drawingSvg, fittingScale, planDrawing } from './drawing-svg.js';
import { type MullionRecord, recordJson } from './record.js';
import { recordHtml } from './record-html.js';
import {
  sampleConditionRecord,
  sampleObservation,
  sampleTreatmentRecord,
} from './sample-record.js';

interface RecordField {
  field: string;
  labels: string[];
}

function readRecordFields(): Record<MullionRecord['kind'], RecordField[]> {
  const file = new URL('../../../fixtures/standards/record-fields.json', import.meta.url);
  return JSON.parse(readFileSync(file, 'utf8')) as Record<MullionRecord['kind'], RecordField[]>;
}

const page = (record: MullionRecord) => new JSDOM(recordHtml(record)).window.document;
const headingsOf = (record: MullionRecord) =>
  [...page(record).querySelectorAll('dt, h2')].map((node) => node.textContent);
const textOf = (record: MullionRecord) => page(record).body.textContent;

// Which fields a record has: fixtures/standards/record-fields.json, a source beside each.
describe.each(['condition', 'treatment'] as const)('a %s record', (kind) => {
  const fields = readRecordFields()[kind];
  const record = kind === 'condition' ? sampleConditionRecord() : sampleTreatmentRecord();

  it.each(fields)('has a place for $field', ({ labels }) => {
    expect(headingsOf(record)).toEqual(expect.arrayContaining(labels));
  });
});

describe('a condition record', () => {
  const record = sampleConditionRecord();

  it('says what it is first, and what is seen before what follows from it', () => {
    const headings = headingsOf(record);
    expect(headings.slice(0, 4)).toEqual(['What it is', 'Mark', 'Also known as', 'Title']);
    expect(headings.indexOf('Panel size')).toBeLessThan(headings.indexOf('Materials'));
    expect(headings.indexOf('Condition')).toBeLessThan(headings.indexOf('Observations'));
  });

  it('says "not recorded" where nothing is, and never a class that nobody gave', () => {
    const blank = { ...record, conditionClass: null, urgency: null, observations: [], images: [] };
    const facts = layOutRecord(blank).blocks.flatMap((block: Block) =>
      block.kind === 'facts' ? block.facts : [],
    );
    const none = facts.filter((fact) => fact.text === null).map((fact) => fact.label);
    expect(none).toEqual(expect.arrayContaining(['Class', 'Urgency', 'Materials', 'Protection']));
    expect(page(blank).querySelector('.class')).toBeNull();
    const missing = [...page(blank).querySelectorAll('dd .none')].length;
    expect(missing).toBeGreaterThanOrEqual(none.length);
  });

  it('gives each observation its term, place, extent, observer, date and evidence', () => {
    const rows = [...page(record).querySelectorAll('.row')].map((row) => row.textContent);
    expect(rows).toHaveLength(3);
    // 42.7 + 41.2 mm by Pythagoras; the loss is 30 × 20 mm of a lozenge seen through 6 mm leads.
    const [crack] = record.observations;
    const start = `1crack, SLM.sII.2b.${crack!.inPanel!}, inside: 84 mm`;
    expect(rows[0]!.startsWith(start)).toBe(true);
    expect(rows[0]).toMatch(/seen by Surveyor · when 2026-03-04 · images not recorded$/);
    const seen = 5400 * (1 - 3 / (5400 / (2 * Math.hypot(45, 60)))) ** 2;
    const share = Math.round((600 / seen) * 100);
    expect(rows[1]).toContain(`6.0 cm², ${share} % of the piece`);
  });

  it('escapes what people wrote', () => {
    const html = recordHtml(record);
    expect(html).toContain('Two ferrymen &lt;second row&gt;');
    expect(html).not.toContain('<second row>');
  });

  it('runs no script and asks nothing of the network', () => {
    const html = recordHtml(record);
    expect(html).not.toMatch(/<script|<link|@import|url\(http|src="http/);
  });

  it('is the same bytes again, as HTML and as JSON', () => {
    expect(recordHtml(sampleConditionRecord())).toBe(recordHtml(record));
    expect(recordJson(sampleConditionRecord())).toBe(recordJson(record));
    expect(JSON.parse(recordJson(record))).toMatchObject({ kind: 'condition' });
  });

  it('leaves previews out of the JSON and puts them into the page', () => {
    const [image] = record.images;
    const withPreview = {
      ...record,
      images: [{ ...image!, previewJpeg: Uint8Array.from([0xff, 0xd8, 0xff, 0xd9]) }],
    };
    expect(recordJson(withPreview)).toBe(recordJson(record));
    expect(recordHtml(withPreview)).toContain('src="data:image/jpeg;base64,/9j/2Q=="');
  });

  it('prints limits only of a chosen jurisdiction', () => {
    expect(recordHtml(record)).not.toContain('µg/m³');
    expect(recordHtml(record, { jurisdiction: 'US' })).toContain('50 µg/m³');
  });

  it('ends with the deferral and with what ties it to the ledger', () => {
    const text = textOf(record);
    expect(text).toMatch(/licensed or competent person.*Where this record stands/s);
    expect(text).toContain('5dc9-da79-a706-59a9');
    expect(text).toContain('sallowmere.example/slm, entry 10482 of 10483');
  });

  it('has every id once', () => {
    const ids = [...page(record).querySelectorAll('[id]')].map((node) => node.id);
    expect(new Set(ids).size).toBe(ids.length);
  });
});

describe('a treatment record', () => {
  const record = sampleTreatmentRecord();

  it('says of each step how far it can be undone', () => {
    const rows = [...page(record).querySelectorAll('.row')].map((row) => row.textContent);
    expect(rows[0]).toMatch(/bond, epoxy, 14.*epoxy resin, batch E-104.*can be treated again/);
  });

  it('shows the cautions of its operations without being asked', () => {
    const text = textOf(record);
    expect(text).toContain('Lead dust and fume.');
    expect(text).toContain('Resins and adhesives.');
  });

  it('tells "none" from "not recorded"', () => {
    expect(textOf(record)).toMatch(/Departuresnone/);
    expect(textOf({ ...record, departures: null })).toMatch(/Departuresnot recorded/);
  });
});

describe('the elevation of a record', () => {
  const panel = (mark: string, x: number, y: number, findings: number, isSubject = false) => ({
    mark,
    ringMm: [
      [x, y],
      [x + 600, y],
      [x + 600, y + 800],
      [x, y + 800],
    ] as const,
    findings,
    isSubject,
  });
  const elevation = {
    mark: 'SLM.wI',
    openingRingMm: [
      [0, 0],
      [1200, 0],
      [1200, 1600],
      [0, 1600],
    ] as const,
    panels: [panel('1a', 0, 800, 0), panel('1b', 600, 800, 3), panel('2a', 0, 0, 1, true)],
  };

  it('counts the findings of each panel and outlines the subject', () => {
    const document = page({ ...sampleConditionRecord(), elevation });
    const svg = [...document.querySelectorAll('svg')].find((node) =>
      node.getAttribute('aria-label')?.startsWith('SLM.wI'),
    )!;
    const figures = [...svg.querySelectorAll('text')].map((node) => node.textContent);
    expect(figures.slice(0, 2)).toEqual(['3', '1']);
    // 1600 mm in 120 mm of paper: 13.3, so the next round scale.
    expect(figures[2]).toBe('SLM.wI, 1 : 15 printed at 100 %');
    expect(svg.querySelectorAll('[stroke="#a8720c"]')).toHaveLength(1);
    expect(textOf({ ...sampleConditionRecord(), elevation })).toContain('2 of 3 panels');
  });

  it('is left out when there is none', () => {
    expect(textOf(sampleConditionRecord())).not.toContain('Where in the window');
  });
});

describe('the drawing of a record', () => {
  it('says how much stood in doubt when it was signed', () => {
    const record = sampleConditionRecord();
    const drawings = record.drawings.map((drawing) => ({ ...drawing, openDoubts: 4 }));
    expect(textOf(record)).toContain('revision 3, signed, ');
    expect(textOf({ ...record, drawings })).toContain('revision 3, signed with 4 in doubt, ');
  });

  const record = sampleConditionRecord();
  const [drawing] = record.drawings;

  it('is to the scale it states', () => {
    const { svg, scale } = drawingSvg(drawing!, record.observations, 'x-');
    const [, width, , , viewWidth] =
      /width="([\d.]+)mm" height="([\d.]+)mm" viewBox="(\S+) \S+ (\S+)/.exec(svg)!;
    expect(Number(viewWidth) / Number(width)).toBeCloseTo(scale, 2);
    expect(svg).toContain(`>1 : ${scale} printed`);
  });

  it('takes the finest round scale that fits', () => {
    expect(fittingScale({ widthMm: 360, heightMm: 470 }, [170, 200])).toBe(2.5);
    expect(fittingScale({ widthMm: 100, heightMm: 100 }, [170, 200])).toBe(1);
    expect(fittingScale({ widthMm: 20_000, heightMm: 100 }, [100, 100])).toBe(200);
  });

  it('numbers every finding that is drawn, no two on each other', () => {
    const crowd = Array.from({ length: 12 }, (_, i) =>
      sampleObservation(i + 1, 'glass.pit', '14', {
        kind: 'point',
        xyMm: [[60 + (i % 3), 60 + Math.floor(i / 3)]],
      }),
    );
    const { tags } = planDrawing(drawing!, crowd, 10);
    expect(tags.map((tag) => tag.number)).toEqual(crowd.map((one) => one.number));
    for (const a of tags) {
      for (const b of tags) {
        if (a.number === b.number) continue;
        expect(Math.hypot(a.atMm[0] - b.atMm[0], a.atMm[1] - b.atMm[1])).toBeGreaterThan(9.9);
      }
    }
  });

  it('looks closely at a piece', () => {
    const close = planDrawing({ ...drawing!, focusPieceId: '8' }, [], 8);
    expect(close.widthMm).toBeLessThan(planDrawing(drawing!, [], 8).widthMm / 1.5);
  });

  it('shows the outline of a panel that has no lead drawing', () => {
    const outlineMm = [
      [0, 0],
      [600, 0],
      [600, 900],
      [0, 900],
    ] as const;
    const { svg } = drawingSvg({ ...drawing!, net: null, outlineMm }, [], 'x-');
    expect(svg).toContain('M0 0L600 0L600 900L0 900Z');
  });
});
