# Sourced: sets BARROW_OPEN_DATA where the data lies beside the checkout.
if [ -z "${BARROW_OPEN_DATA:-}" ] && [ -d ../shared/data ]; then
	BARROW_OPEN_DATA=$(cd ../shared/data && pwd)
fi
if [ -n "${BARROW_OPEN_DATA:-}" ]; then
	export BARROW_OPEN_DATA
	echo "open terrain data: $BARROW_OPEN_DATA"
else
	echo "open terrain data: none (BARROW_OPEN_DATA is not set); the tests that need it are skipped"
fi
