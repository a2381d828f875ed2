/** This program as a service: says to systemd that it is ready and gets on (docs/service.md). */
import { execFile } from 'node:child_process';
import { ServiceNotifier } from '#core/program/service-notifier';
import { serviceEnvironment } from '../load-config.ts';

/** `getsOn`: see ServiceNotifierOptions. */
export function systemService(getsOn: () => Promise<boolean>): ServiceNotifier {
  return new ServiceNotifier({
    environment: serviceEnvironment(),
    pid: process.pid,
    // One that cannot be sent is one that is not heard: the supervisor acts on that by itself.
    send: states => void execFile('systemd-notify', [...states], () => undefined),
    every: (ms, task) => {
      const timer = setInterval(task, ms);
      return () => clearInterval(timer);
    },
    getsOn,
  });
}
