/* A job as a link: packed into the part of the address after #, which no server is ever sent. */
import { jobOut } from './file';
import { addJob } from './jobs';
import { jobOf, store } from './job';

const MARK = '#job=';

async function through(bytes: Uint8Array, stream: { readable: ReadableStream; writable: WritableStream }): Promise<Uint8Array> {
  const piped = new Blob([bytes as BlobPart]).stream().pipeThrough(stream as ReadableWritablePair);
  return new Uint8Array(await new Response(piped).arrayBuffer());
}

/* Base64 without the signs that an address would have to write otherwise. */
function letters(bytes: Uint8Array): string {
  let raw = '';
  for (const byte of bytes) raw += String.fromCharCode(byte);
  return btoa(raw).replace(/\+/g, '-').replace(/\//g, '_').replace(/=+$/, '');
}

const bytesOf = (text: string): Uint8Array => Uint8Array.from(atob(text.replace(/-/g, '+').replace(/_/g, '/')), (letter) => letter.charCodeAt(0));

/** The address that holds the job that is open; photos and measured files stay behind. */
export async function linkOf(): Promise<string> {
  const state = store.get();
  const { sheet, trouble, about } = jobOf(state);
  const text = JSON.stringify({ file: 'pumpwright job', version: 1, units: state.units, sheet, trouble, about });
  const packed = await through(new TextEncoder().encode(text), new CompressionStream('deflate-raw'));
  return `${location.href.replace(/#.*$/, '')}${MARK}${letters(packed)}`;
}

/** A job that came with the address becomes a job of the list, and is opened. */
export async function takeShared(): Promise<void> {
  if (!location.hash.startsWith(MARK)) return;
  try {
    const bytes = await through(bytesOf(location.hash.slice(MARK.length)), new DecompressionStream('deflate-raw'));
    const job = jobOut(JSON.parse(new TextDecoder().decode(bytes)));
    if (!job) throw new Error('none');
    history.replaceState(null, '', '#');
    const { units, points, photos, ...rest } = job;
    await addJob(rest, units, true, { points, photos });
  } catch {
    history.replaceState(null, '', '#');
    store.set({ badLink: true });
  }
}
