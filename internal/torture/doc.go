// Package torture holds the tests of what must hold under faults: the program runs as
// processes of its own against a real PostgreSQL, and either is killed, stopped or kept
// waiting while clients write. The clients keep a model of what was acknowledged, and in
// the end the model and the service must agree.
//
// The tests run with all others in a size that suits them; make torture runs them, and the
// requests made from the contract in package api, the search for dear ones there, and the
// claims of answers in api/lists held against all that could be tried, in a larger one. Environment variables
// set the sizes:
//
//	COMMENSAL_TORTURE_WRITES    changes made by the clients of a test (2000)
//	COMMENSAL_TORTURE_KILLS     kills among them (2)
//	COMMENSAL_TORTURE_FAILOVERS losses of a primary, by turns killed, cut off and hung (1)
//	COMMENSAL_TORTURE_OUTAGE    how long PostgreSQL is away (4s)
//	COMMENSAL_TORTURE_REQUESTS  requests made from the contract (3000)
//	COMMENSAL_TORTURE_DEAR      steps of the search for the dearest request of each operation (1)
//	COMMENSAL_TORTURE_CLAIMS    drawn cases for each kind of claim that an answer makes (12 to 60)
//	COMMENSAL_TORTURE_IDLE      connections that lie about (500)
//	COMMENSAL_TORTURE_READERS   readers that do not read (40)
//	COMMENSAL_TORTURE_CROWD     for how long both go on (3s)
//	COMMENSAL_TORTURE_ATTACKERS clients for each of the attacks side by side (1)
//	COMMENSAL_TORTURE_ATTACK    for how long these go on (4s)
//	COMMENSAL_TORTURE_SEED      the seed of everything that is drawn (1)
//	COMMENSAL_TORTURE_STRICT    not empty: times that are promised are asserted, for an idle machine
//
// Processes are found and stopped through what Linux tells of them, so the tests are for
// Linux; the promises are for every system.
package torture
