# Runs the generator of the demo house's history and holds its output against the file in config/.
#   cmake -D GENERATOR=PROGRAM -D COMMITTED=FILE -D OUTPUT=FILE -P demo_history.cmake
execute_process(COMMAND ${GENERATOR} OUTPUT_FILE ${OUTPUT} COMMAND_ERROR_IS_FATAL ANY)
execute_process(COMMAND ${CMAKE_COMMAND} -E compare_files ${OUTPUT} ${COMMITTED} RESULT_VARIABLE differ)
if(differ)
  message(FATAL_ERROR "${COMMITTED} is not what its generator writes; compare it with ${OUTPUT}")
endif()
