import { useState } from 'react';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';

/** Two pieces that stay in one lead, by their numbers: for a hand on keys, and where a piece is too small to tap. */
export function StaysWith({
  pieces,
  partner,
  onPartner,
  onStays,
}: {
  /** numbers, in their order */
  pieces: readonly string[];
  /** the piece that the others stay with; null: not chosen */
  partner: string | null;
  onPartner: (piece: string | null) => void;
  onStays: (piece: string) => void;
}) {
  const [piece, setPiece] = useState('');
  const others = pieces.filter((one) => one !== partner);
  return (
    <>
      <p role="status">
        {partner === null
          ? say('Tap the piece that the others stay with.')
          : say('Tap what stays with {piece}.', { piece: partner })}
      </p>
      <div className="lift-with">
        <Choice label={say('The others stay with')} pieces={pieces} value={partner ?? ''}>
          {(chosen) => {
            onPartner(chosen === '' ? null : chosen);
          }}
        </Choice>
        <Choice label={say('What stays')} pieces={others} value={piece}>
          {setPiece}
        </Choice>
        <button
          type="button"
          className="act"
          disabled={partner === null || piece === '' || piece === partner}
          onClick={() => {
            onStays(piece);
            setPiece('');
          }}
        >
          {say('They stay together')}
        </button>
      </div>
    </>
  );
}

function Choice({
  label,
  pieces,
  value,
  children,
}: {
  label: string;
  pieces: readonly string[];
  value: string;
  children: (piece: string) => void;
}) {
  return (
    <Field label={label}>
      {(ids) => (
        <select
          {...ids}
          value={value}
          onChange={({ target }) => {
            children(target.value);
          }}
        >
          <option value="">{say('choose…')}</option>
          {pieces.map((piece) => (
            <option key={piece}>{piece}</option>
          ))}
        </select>
      )}
    </Field>
  );
}
