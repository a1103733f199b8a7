/** npm run conformance: what we write and compute, judged by validators and libraries that are not ours. */
import { checkBag } from './bag.js';
import { finish } from './check.js';
import { checkCosignatures } from './cosignatures.js';
import { checkDrawings } from './drawings.js';
import { checkLedger } from './ledger.js';
import { checkMoveUp } from './move-up.js';
import { checkOpenApi } from './openapi.js';
import { peerPython, validatorPython } from './python-tools.js';
import { checkRaster } from './raster.js';
import { checkS3 } from './s3.js';
import { checkTargetSheet } from './target-sheet.js';
import { checkTimeStamps } from './time-stamps.js';
import { checkWorkedPanel } from './worked-panel.js';

const python = validatorPython();
await checkBag(python);
checkOpenApi(python);
await checkDrawings(python);
await checkRaster(peerPython());
await checkTargetSheet(python, peerPython());
await checkCosignatures();
await checkTimeStamps();
checkWorkedPanel();
await checkLedger();
await checkS3();
await checkMoveUp();
finish();
