/* Sheets to begin with: the project's examples and a few more of the usual kinds. All of them are invented and say so. */
import { files } from 'starts:files';

export interface Start { id: string; text: string }

/** Files that sheets refer to by name (measured flows). */
export const MEASURED: Record<string, string> = files.measured;

export const STARTS: Start[] = files.starts;
