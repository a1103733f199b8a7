import { openPdf } from './pdf-page.js';

it('reads each font once, however often a page changes between them', () => {
  const doc = openPdf({ title: 'Record', date: new Date('2026-11-25T08:00:00Z') });
  // pdfkit counts the fonts that it opened; it has no other word on it
  const opened = () => (doc as unknown as { _fontCount: number })._fontCount;
  for (let i = 0; i < 5; i++) doc.font('serif').font('sans').font('serif-bold');
  expect(opened()).toBe(3);
});
