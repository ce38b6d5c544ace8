-- AlterTable
ALTER TABLE "api_tokens" ADD COLUMN     "allSites" BOOLEAN NOT NULL DEFAULT false;

-- AlterTable
ALTER TABLE "users" ADD COLUMN     "allSites" BOOLEAN NOT NULL DEFAULT false;

-- CreateTable
CREATE TABLE "sign_in_attempts" (
    "key" TEXT NOT NULL,
    "windowStart" TIMESTAMPTZ(3) NOT NULL,
    "attempts" INTEGER NOT NULL,

    CONSTRAINT "sign_in_attempts_pkey" PRIMARY KEY ("key")
);

-- CreateIndex
CREATE INDEX "sign_in_attempts_windowStart_idx" ON "sign_in_attempts"("windowStart");

-- The audit trail only grows.
CREATE FUNCTION "refuse_audit_change"() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION 'The audit trail is append-only.';
END;
$$;
CREATE TRIGGER "audit_events_append_only" BEFORE UPDATE OR DELETE ON "audit_events"
  FOR EACH ROW EXECUTE FUNCTION "refuse_audit_change"();
