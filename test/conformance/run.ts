/** npm run conformance: what we write, judged by validators that are not ours. */
import { checkBag } from './bag.js';
import { finish } from './check.js';
import { checkOpenApi } from './openapi.js';
import { validatorPython } from './python-tools.js';

const python = validatorPython();
await checkBag(python);
checkOpenApi(python);
finish();
