/** Why a link is down, and the sentence that says so to a person. */
export type LinkProblemCode =
  | 'missing'
  | 'gone'
  | 'noPermission'
  | 'busy'
  | 'refused'
  | 'unreachable'
  | 'silent'
  | 'failed';

export interface LinkProblem {
  readonly code: LinkProblemCode;
  /** Without a full stop: the machine adds when it tries again. */
  readonly sentence: string;
}

export function problem(code: LinkProblemCode, sentence: string): LinkProblem {
  return { code, sentence };
}

/** From an error of opening or using `name`; the texts are those of the operating system and of serialport. */
export function problemOf(error: unknown, name: string): LinkProblem {
  const { code = '', message } = errorParts(error);
  const says = (codes: RegExp, words: RegExp): boolean => codes.test(code) || words.test(message);
  if (says(/^ENOENT$|^ENODEV$|^ENXIO$/, /no such file|no such device/i)) {
    return problem('missing', `${name} is not there`);
  }
  if (says(/^EACCES$|^EPERM$/, /permission denied|access denied/i)) {
    return problem(
      'noPermission',
      `no permission to open ${name}: add the user to the group dialout (sudo usermod -aG dialout USER) and log in again`,
    );
  }
  if (says(/^EBUSY$/, /cannot lock|resource busy|temporarily unavailable/i)) {
    return problem('busy', `${name} is in use by another program: close that one`);
  }
  if (says(/^ECONNREFUSED$/, /ECONNREFUSED/)) {
    return problem(
      'refused',
      `${name} refuses the connection: is the device server on and the port number right?`,
    );
  }
  if (says(/^(ENOTFOUND|EAI_AGAIN)$/, /ENOTFOUND|EAI_AGAIN/)) {
    return problem('unreachable', `${name}: there is no host of that name`);
  }
  if (
    says(/^(EHOSTUNREACH|ENETUNREACH|ETIMEDOUT|EHOSTDOWN)$/, /EHOSTUNREACH|ENETUNREACH|ETIMEDOUT|timed out/i)
  ) {
    return problem('unreachable', `${name} does not answer: is it on and the cable in?`);
  }
  if (says(/^(ECONNRESET|EPIPE|EIO)$/, /ECONNRESET|EPIPE|bad file descriptor|disconnected/i)) {
    return problem('gone', `${name} is gone`);
  }
  return problem('failed', `${name} cannot be used: ${message}`);
}

function errorParts(error: unknown): { code?: string; message: string } {
  if (!(error instanceof Error)) return { message: String(error) };
  const { code } = error as NodeJS.ErrnoException;
  const message = error.message.replace(/^Error:? /, '').slice(0, 200);
  return code === undefined ? { message } : { code, message };
}
