import { ToBench } from '../bench/ToBench.js';
import './print.css';
import { useEffect, useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import { sayRevision } from '../compare/pair-of-revisions.js';
import { checklistFile, checklists } from '../platform/api/custody.js';
import { labelsFile, netFile } from '../platform/api/nets.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { setWords, useHere } from '../platform/navigate.js';
import { OneOf } from '../platform/OneOf.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { useAnswer } from '../platform/use-answer.js';
import { Word } from '../platform/Word.js';
import { LabelChoices } from './LabelChoices.js';
import { askedLabels, firstLabels, type LabelChoice, measuredLabel } from './label-choice.js';
import { PagesView } from './PagesView.js';
import { openPdf, type PdfPages } from './pdf-pages.js';
import {
  askedHow,
  firstChoice,
  isOfWindow,
  listWords,
  otherFiles,
  overlaps,
  type PrintChoice,
  papers,
  printFile,
  prints,
  printsUndrawn,
  printWords,
  type Side,
  sides,
} from './print-choice.js';
import { ScheduleView } from './ScheduleView.js';

/** Choose what is printed, see its pages as they will be, take the files. */
export function PrintRoom({ bench }: { bench: Bench }) {
  const { panel, nets } = bench;
  const { words } = useHere();
  const [choice, setChoice] = useState<PrintChoice>(firstChoice);
  const revision = Number(words.get('revision') ?? panel.netRevision ?? 0);
  const net = nets.find((one) => one.revision === revision);
  const [labels, setLabels] = useState(firstLabels);
  // Labels need no lead drawing; what does is offered once there is one.
  const print = net || choice.print === 'lists' ? choice.print : 'labels';
  const lists = checklists.filter((one) => net !== undefined || isOfWindow(one));
  const list = lists.find((one) => one === choice.list) ?? 'removal';
  const url =
    print === 'lists'
      ? checklistFile(
          isOfWindow(list) ? { windowId: panel.windowId } : { panelId: panel.panelId },
          list,
        )
      : print === 'labels'
        ? labelsFile(
            panel.windowId,
            askedLabels(labels, panel.mark, window.location.origin, readNumber),
          )
        : netFile(
            panel.panelId,
            revision,
            printFile[print],
            askedHow({ ...choice, print }, readNumber),
          );
  const isPdf = print !== 'schedule';
  const pages = useAnswer(isPdf ? url : null, (signal) => openPdf(url, signal));
  usePagesClosed(pages.value);
  return (
    <Shell
      mark={panel.fullMark}
      sentence={
        net ? (
          <>
            {say('printing ')}
            <Word
              label={say('Revision')}
              value={String(revision)}
              options={nets.map((one) => [String(one.revision), sayRevision(one)] as const)}
              onChoose={(value) => {
                setWords({ revision: value });
              }}
            />
            , {net.signedAt === null ? say('not signed') : say('signed')}
          </>
        ) : (
          say('printing labels and lists; there is no lead drawing yet')
        )
      }
    >
      <Table
        papers={say('the print')}
        startOpen
        drawing={
          print === 'schedule' ? (
            <ScheduleView url={url} mark={panel.fullMark} />
          ) : pages.value ? (
            <PagesView
              key={url}
              pages={pages.value}
              label={print === 'lists' ? listWords[list] : printWords[print]}
            />
          ) : (
            <p className="over-drawing" role="status">
              {pages.why ?? say('laying out the pages…')}
            </p>
          )
        }
        beside={
          <>
            <section className="paper stack">
              <div>
                <h2>{say('Print')}</h2>
                {isPdf && pages.value ? (
                  <p className="sub" role="status">
                    {sayPages(
                      print === 'labels'
                        ? sayStock(labels)
                        : print === 'lists'
                          ? 'A4'
                          : choice.paper,
                      pages.value,
                    )}
                  </p>
                ) : null}
              </div>
              <OneOf
                legend={say('What')}
                options={net ? prints : printsUndrawn}
                value={print}
                words={(value) => printWords[value]}
                onValue={(wanted) => {
                  setChoice({ ...choice, print: wanted });
                }}
              />
              {print === 'lists' ? (
                <OneOf
                  legend={say('List for')}
                  options={lists}
                  value={list}
                  words={(value) => listWords[value]}
                  onValue={(wanted) => {
                    setChoice({ ...choice, list: wanted });
                  }}
                />
              ) : print === 'labels' ? (
                <LabelChoices choice={labels} onChoice={setLabels} />
              ) : (
                <Choices choice={{ ...choice, print }} onChoice={setChoice} />
              )}
              {print === 'lists' ? (
                <p className="hint">
                  {isOfWindow(list)
                    ? say('Panels of the whole window, with its elevation.')
                    : say('Pieces and leads of this panel, with the lead drawing in force.')}
                </p>
              ) : print === 'labels' ? (
                <div className="caution" role="note">
                  {rich(
                    '<b>Tie labels on, or tape them on lead. Never tape on painted glass.</b>Tape lifts paint. Print at 100 %, “actual size”, and measure one label: it is {labels} wide.',
                    { b: (words) => <b>{words}</b>, labels: measuredLabel(labels) },
                  )}
                </div>
              ) : isPdf ? (
                <div className="caution" role="note">
                  {rich(
                    '<b>Print at 100 %, then measure the check square.</b>“Actual size”, never “fit to page”. Measure the square before you cut: 100 mm both ways, within half a millimetre. Else the printer has shrunk it, and glass cut on it will not fit.',
                    { b: (words) => <b>{words}</b> },
                  )}
                </div>
              ) : null}
              <div className="row">
                <a className="act" href={url} download>
                  {isPdf ? say('Save the PDF') : say('Save the list (CSV)')}
                </a>
                <ToBench mark={panel.fullMark} />
              </div>
            </section>
            {net ? (
              <section className="paper">
                <h2>{say('For other programs')}</h2>
                <ul className="lines">
                  {otherFiles.map(([file, name, use]) => (
                    <li key={file}>
                      <a className="word" href={netFile(panel.panelId, revision, file)} download>
                        {name}
                      </a>
                      <span>{use}</span>
                    </li>
                  ))}
                </ul>
              </section>
            ) : null}
          </>
        }
      />
    </Shell>
  );
}

function Choices({
  choice,
  onChoice,
}: {
  choice: PrintChoice;
  onChoice: (choice: PrintChoice) => void;
}) {
  const field = (name: 'stickMm' | 'wastePercent' | 'thicknessMm', label: string, hint: string) => (
    <NumberField
      label={label}
      hint={hint}
      value={choice[name]}
      onValue={(value) => {
        onChoice({ ...choice, [name]: value });
      }}
    />
  );
  if (choice.print === 'schedule')
    return (
      <div className="stack">
        {field(
          'stickMm',
          say('Length of a stick, mm'),
          say('Typed: how many sticks, and what is cut from each.'),
        )}
        {field(
          'wastePercent',
          'Waste, %',
          say('Added to the metres; without it, as the archive proposes.'),
        )}
        {field('thicknessMm', say('Thickness of the glass, mm'), say('For its weight.'))}
      </div>
    );
  return (
    <>
      <OneOf
        legend={say('Paper')}
        options={papers}
        value={choice.paper}
        onValue={(paper) => {
          onChoice({ ...choice, paper });
        }}
      />
      {choice.print === 'pattern' ? (
        <OneOf
          legend={say('Pieces lie')}
          options={['packed', 'in place'] as const}
          value={choice.laid}
          words={(value) =>
            value === 'packed' ? say('packed on sheets') : say('each in its place')
          }
          onValue={(laid) => {
            onChoice({ ...choice, laid });
          }}
        />
      ) : null}
      <OneOf
        legend={say('Seen from')}
        options={choice.print === 'drawing' ? sides : sides.slice(0, 2)}
        value={choice.print === 'pattern' && choice.from === 'both' ? 'inside' : choice.from}
        words={(value) => sideWords[value]}
        onValue={(from) => {
          onChoice({ ...choice, from });
        }}
      />
      {choice.print === 'drawing' ? (
        <OneOf
          legend={say('Numbers of the pieces')}
          options={['with', 'without'] as const}
          value={choice.numbers}
          onValue={(numbers) => {
            onChoice({ ...choice, numbers });
          }}
        />
      ) : null}
      {choice.print === 'drawing' || choice.laid === 'in place' ? (
        <OneOf
          legend={say('Sheets overlap by')}
          options={overlaps}
          value={choice.overlap}
          words={(value) => `${value} mm`}
          onValue={(overlap) => {
            onChoice({ ...choice, overlap });
          }}
        />
      ) : null}
    </>
  );
}

const sideWords: Readonly<Record<Side, string>> = {
  inside: say('inside'),
  outside: say('outside, mirrored'),
  both: say('both, one after the other'),
};

function sayPages(paper: string, pages: PdfPages): string {
  return say(
    '{count, plural, one {# page} other {# pages}} of {paper}, shown as they will be printed.',
    { count: pages.count, paper },
  );
}

const sayStock = ({ stock, rollMm }: LabelChoice): string =>
  stock === 'sheet' ? 'A4' : `62 × ${rollMm} mm`;

/** Frees the pages that are no longer shown. */
function usePagesClosed(pages: PdfPages | undefined): void {
  useEffect(
    () => () => {
      pages?.close();
    },
    [pages],
  );
}
