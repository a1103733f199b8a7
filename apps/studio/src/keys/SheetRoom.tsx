import './keys.css';
import { useState } from 'react';
import { type RecoverySheet, readRecoverySheet, recoverySheetPdf } from '../platform/api/keys.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Shell } from '../platform/Shell.js';
import { useSession } from '../platform/session.js';
import { useAnswer } from '../platform/use-answer.js';
import { TypeBack } from './TypeBack.js';

/** The recovery sheet: printed, put away, and its words destroyed here. */
export function SheetRoom() {
  const { again } = useSession();
  const [isDone, setDone] = useState(false);
  const { value: sheet, why } = useAnswer('recovery-sheet', readRecoverySheet);
  return (
    <Shell mark={null} sentence={say('the recovery sheet')}>
      <div className="scroll">
        {why !== undefined ? (
          <section className="paper stack">
            <h1>{say('The recovery sheet')}</h1>
            <p role="alert">{why}</p>
          </section>
        ) : sheet === undefined ? null : sheet === null || isDone ? (
          <PutAway />
        ) : (
          <ToPrint
            sheet={sheet}
            done={() => {
              setDone(true);
              again();
            }}
          />
        )}
      </div>
    </Shell>
  );
}

function ToPrint({ sheet, done }: { sheet: RecoverySheet; done: () => void }) {
  const [step, setStep] = useState<'print' | 'type'>('print');
  const [shown, setShown] = useState(false);
  if (step === 'type')
    return (
      <TypeBack
        count={sheet.words.length}
        done={done}
        back={() => {
          setStep('print');
        }}
      />
    );
  return (
    <section className="paper stack">
      <div>
        <h1>{say('Print the recovery sheet')}</h1>
        <p className="sub">
          {say(
            'Twenty-four words. They bring this archive back when its key is lost, and open its backups when their passphrase is forgotten.',
          )}
        </p>
      </div>
      <div className="caution" role="note">
        {rich(
          '<b>Whoever holds the sheet can sign as this archive.</b>Keep it in another place than the computer: a safe, a notary, the owner’s papers. Two copies in two houses are better than one. Do not photograph it, do not send it.',
          { b: (words) => <b>{words}</b> },
        )}
      </div>
      <div className="row">
        <a className="act" href={recoverySheetPdf} target="_blank" rel="noreferrer">
          {say('Print the sheet')}
        </a>
        <button
          type="button"
          className="quiet"
          aria-expanded={shown}
          onClick={() => {
            setShown(!shown);
          }}
        >
          {shown ? say('Hide the words') : say('Show the words, to copy them by hand')}
        </button>
      </div>
      {shown ? (
        <div className="sheet-words">
          <ol aria-label={say('The words')}>
            {sheet.words.map((word, at) => (
              <li key={`${at} ${word}`}>
                <span>{at + 1}</span>
                <b>{word}</b>
              </li>
            ))}
          </ol>
          <svg
            viewBox={`0 0 ${sheet.code.side} ${sheet.code.side}`}
            role="img"
            aria-label={say('The same words as a QR code')}
          >
            <rect width={sheet.code.side} height={sheet.code.side} fill="#fff" />
            <path d={sheet.code.path} fill="#000" shapeRendering="crispEdges" />
          </svg>
        </div>
      ) : null}
      <dl className="sheet-keys">
        <dt>{say('This archive’s key')}</dt>
        <dd>{sheet.fingerprint}</dd>
        <dt>{say('The key that the words make')}</dt>
        <dd>{sheet.successor}</dd>
      </dl>
      <p className="hint">
        {say(
          'The words lie in the archive’s folder until you type two of them back from the page; then they are destroyed and stand on paper only.',
        )}
      </p>
      <div className="row">
        <button
          type="button"
          onClick={() => {
            setStep('type');
          }}
        >
          {say('It is printed')}
        </button>
        <Go className="act quiet" to="/">
          {say('Later')}
        </Go>
      </div>
    </section>
  );
}

function PutAway() {
  return (
    <section className="paper stack">
      <div>
        <h1>{say('The sheet is put away')}</h1>
        <p className="sub">
          {say('Its words stand on paper only; nobody can show them here again.')}
        </p>
      </div>
      <p>
        {rich(
          'If the sheet is lost, make a new one where the archive lies: {code}. The lost one is void from then on. If the key is lost: {code2}.',
          {
            code: <code>mullion admin recovery-sheet</code>,
            code2: <code>mullion admin key recover</code>,
          },
        )}
      </p>
      <p className="row">
        <Go className="act" to="/">
          {say('Go to the wall')}
        </Go>
      </p>
    </section>
  );
}
