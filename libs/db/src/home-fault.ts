/** What can be wrong with a home or its database; the message tells the person what to do. */
export type HomeFaultCode =
  | 'home-in-use'
  | 'home-unreadable'
  | 'home-newer'
  | 'no-account'
  | 'no-program'
  | 'postgres-version'
  | 'postgres-failed';

export class HomeFault extends Error {
  readonly fault: HomeFaultCode;

  // no parameter property: tools run this file with its types stripped by Node
  constructor(fault: HomeFaultCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'HomeFault';
    this.fault = fault;
  }
}
