import { useState } from 'react';
import type { XyMm } from '#libs/net';
import { GLASSES, PAINTS, SURFACE_WORKS } from '#libs/vocabulary';
import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { TextField } from '../platform/TextField.js';
import { WordSelect } from '../platform/WordSelect.js';
import { GaugeFields } from './GaugeFields.js';
import { OnFaceList } from './OnFaceList.js';
import { type LayerDraft, placeOfGlass } from './technique-draft.js';

/** One layer of a piece: a glass with what is on its faces, or what lies between two glasses. */
export function LayerFields({
  layers,
  at,
  ringMm,
  onLayer,
  onTakeAway,
}: {
  layers: readonly LayerDraft[];
  at: number;
  ringMm: readonly XyMm[];
  onLayer: (layer: LayerDraft) => void;
  onTakeAway: () => void;
}) {
  const layer = layers[at]!;
  const [gauging, setGauging] = useState(layer.gauged.length > 0);
  const change = (over: Partial<LayerDraft>) => {
    onLayer({ ...layer, ...over });
  };
  const place = placeOfGlass(layers, at);
  const title =
    layer.is === 'interlayer'
      ? say('Between the glasses')
      : place === null
        ? say('The glass')
        : {
            front: say('Glass in front'),
            middle: say('Glass in the middle'),
            back: say('Glass at the back'),
          }[place];
  const thickness = (
    <NumberField
      label={say('Thickness, mm')}
      value={layer.thickness}
      onValue={(text) => {
        change({ thickness: text });
      }}
    />
  );
  return (
    <fieldset className="field layer">
      <legend>{title}</legend>
      <div className="stack">
        {layer.is === 'interlayer' ? (
          <>
            <TextField
              label={say('What it is')}
              hint={say('silicone, air, an edge seal')}
              value={layer.material}
              onValue={(material) => {
                change({ material });
              }}
            />
            <div className="two">
              {thickness}
              <NumberField
                label={say('Density, g/cm³')}
                hint={say('left out: not in the weight')}
                value={layer.density}
                onValue={(density) => {
                  change({ density });
                }}
              />
            </div>
          </>
        ) : (
          <>
            <WordSelect
              label={say('Kind of glass')}
              words={GLASSES}
              value={layer.glass}
              onValue={(glass) => {
                change({ glass });
              }}
            />
            <div className="two">
              <TextField
                label={say('Colour')}
                value={layer.colour}
                onValue={(colour) => {
                  change({ colour });
                }}
              />
              <TextField
                label={say('Texture')}
                placeholder={say('seedy, streaky…')}
                value={layer.texture}
                onValue={(texture) => {
                  change({ texture });
                }}
              />
            </div>
            {layer.glass === 'flashed' ? (
              <>
                <OneOf
                  legend={say('The flash lies on the face')}
                  options={['inside', 'outside'] as const}
                  value={layer.flashFace}
                  onValue={(flashFace) => {
                    change({ flashFace });
                  }}
                />
                <TextField
                  label={say('Colour of the flash')}
                  value={layer.flashColour}
                  onValue={(flashColour) => {
                    change({ flashColour });
                  }}
                />
              </>
            ) : null}
            {gauging ? null : thickness}
            {gauging ? (
              <GaugeFields
                ringMm={ringMm}
                gauged={layer.gauged}
                onGauged={(gauged) => {
                  change({ gauged });
                }}
              />
            ) : (
              <button
                type="button"
                className="quiet"
                onClick={() => {
                  setGauging(true);
                }}
              >
                {say('Gauge it at several places')}
              </button>
            )}
            <OnFaceList
              words={SURFACE_WORKS}
              kind={say('Taken off')}
              what={say('Depth, mm')}
              add={say('Something taken off a face')}
              items={layer.worked}
              onItems={(worked) => {
                change({ worked });
              }}
            />
            <OnFaceList
              words={PAINTS}
              kind={say('Laid on')}
              what={say('Colour')}
              add={say('Paint, stain or gold on a face')}
              items={layer.painted}
              onItems={(painted) => {
                change({ painted });
              }}
            />
          </>
        )}
        <button type="button" className="word" onClick={onTakeAway}>
          {say('take this layer away')}
        </button>
      </div>
    </fieldset>
  );
}
