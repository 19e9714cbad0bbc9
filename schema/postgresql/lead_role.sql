-- Keeps the sign-off log of a book on PostgreSQL to the leads.
--
-- Run it once per book, connected to its database, as the owner of the book's tables (not as a login of the shop), and
-- again after an update of Provebook that made a new book format:
--
--     psql "postgresql://owner@server/provebook" -f lead_role.sql
--
-- It makes two group roles, provebook_shop and provebook_lead, where they are missing. Then give each login one of them:
--
--     CREATE ROLE ik LOGIN PASSWORD '...' IN ROLE provebook_shop;
--     CREATE ROLE mh LOGIN PASSWORD '...' IN ROLE provebook_lead;
--
-- Everyone reads and works on cases; only the leads write lines of the sign-off log, and nobody alters one. The owner of
-- the tables and a superuser can do anything, so the PCs of the shop must not use those logins.

DO $$
BEGIN
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'provebook_shop') THEN
        CREATE ROLE provebook_shop NOLOGIN;
    END IF;
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'provebook_lead') THEN
        CREATE ROLE provebook_lead NOLOGIN IN ROLE provebook_shop;
    END IF;
END
$$;

GRANT USAGE ON SCHEMA public TO provebook_shop;
GRANT SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA public TO provebook_shop;
GRANT USAGE, SELECT ON ALL SEQUENCES IN SCHEMA public TO provebook_shop;
REVOKE INSERT, UPDATE, DELETE, TRUNCATE ON alembic_version FROM provebook_shop;

REVOKE ALL ON sign_off FROM PUBLIC;
REVOKE ALL ON sign_off FROM provebook_shop;
REVOKE ALL ON SEQUENCE sign_off_id_seq FROM provebook_shop;
GRANT SELECT ON sign_off TO provebook_shop;
GRANT INSERT ON sign_off TO provebook_lead;
GRANT USAGE, SELECT ON SEQUENCE sign_off_id_seq TO provebook_lead;
