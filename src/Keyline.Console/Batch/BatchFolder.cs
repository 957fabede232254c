using System.Text;
using Keyline.Console.Cli;

namespace Keyline.Console.Batch;

/// <summary>The folder of a batch, which several runs may work in at a time.</summary>
internal static class BatchFolder
{
    private const string MarkName = "batch.txt";
    private const string Mark = "Made by keyline batch: one folder a field below fields/.\n";

    /// <summary>Opens the folder, or begins one.</summary>
    /// <exception cref="UsageException">It holds something else, or cannot be written.</exception>
    public static void Open(BatchRequest request)
    {
        try
        {
            if (File.Exists(request.OutPath))
            {
                throw new UsageException($"The output {request.OutPath} is a file: give a folder with {OptionSpec.Out.Flag}.");
            }

            // Another share may be putting the mark there at this very moment.
            string mark = Path.Combine(request.OutPath, MarkName);
            if (!File.Exists(mark) && Directory.Exists(request.OutPath) && Directory.EnumerateFileSystemEntries(request.OutPath).Any(e => !Path.GetFileName(e).StartsWith(MarkName, StringComparison.Ordinal)))
            {
                throw new UsageException($"The output folder {request.OutPath} exists and no batch was begun in it: choose another with {OptionSpec.Out.Flag}.");
            }

            if (request.OnlyGathers && !File.Exists(mark))
            {
                throw new UsageException($"No batch was begun in {request.OutPath}: there is nothing to gather; leave out {OptionSpec.Gather.Flag}, or check {OptionSpec.Out.Flag}.");
            }

            if (!File.Exists(mark))
            {
                Directory.CreateDirectory(request.OutPath);
                FieldTask.WriteWhole(mark, Encoding.UTF8.GetBytes(Mark));
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new UsageException($"The output folder {request.OutPath} cannot be written ({e.Message.ReplaceLineEndings(" ").TrimEnd('.')}): choose another with {OptionSpec.Out.Flag}.");
        }
    }

    /// <summary>Writes a command for each field that is still to be made; returns how many.</summary>
    public static int WriteTasks(string path, BatchRequest request)
    {
        StringBuilder text = new();
        int count = 0;
        foreach (Formats.LayerField field in request.Chosen)
        {
            bool wanted;
            try
            {
                wanted = FieldTask.Of(field, request).IsToBeMade(request);
            }
            catch (Exception e) when (e is UsageException or KeylineException)
            {
                // The task itself tells what is wrong with it.
                wanted = true;
            }

            if (wanted)
            {
                text.Append(Product.CalledAs).Append(' ').AppendJoin(' ', request.WordsFor(field).Select(Quoted)).Append('\n');
                count++;
            }
        }

        FieldTask.WriteWhole(Path.GetFullPath(path), Encoding.UTF8.GetBytes(text.ToString()));
        return count;
    }

    // For a POSIX shell.
    private static string Quoted(string word) => word.Length > 0 && word.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' or '.' or '/' or ':' or ',' or '+' or '=')
        ? word
        : "'" + word.Replace("'", "'\\''", StringComparison.Ordinal) + "'";
}
