import { Refusal } from '../modules/platform/index.ts';
import { Prisma } from './generated/client.ts';

/**
 * Runs a write and turns a broken uniqueness rule into a Refusal `conflict` with `message`.
 * Other database errors pass through and become faults.
 */
export async function refuseDuplicates<T>(
  message: string,
  pointer: string,
  write: () => Promise<T>,
): Promise<T> {
  try {
    return await write();
  } catch (error) {
    if (error instanceof Prisma.PrismaClientKnownRequestError && error.code === 'P2002') {
      throw new Refusal('conflict', message, { issues: [{ pointer, message }] });
    }
    throw error;
  }
}
