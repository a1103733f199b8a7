export {
  TIME_QUERY_TYPE,
  TimeStampError,
  timeStampRequest,
  tokenOfAnswer,
} from './time-request.js';
export { checkTimeToken, readAuthorities, type TimeFault, type TimeSaying } from './time-token.js';
