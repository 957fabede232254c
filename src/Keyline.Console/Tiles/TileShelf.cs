using System.Security.Cryptography;
using System.Text;
using Keyline.Drainage;
using Keyline.Formats;

namespace Keyline.Console.Tiles;

/// <summary>Parts as files of the shared folder: a mark, what they were made from, a digest of their bytes, and the bytes. Each task has one, which remembers
/// what it put.</summary>
internal sealed class TileShelf(TileFolder folder) : IDrainageShelf
{
    private const int DigestBytes = 32;
    private static readonly byte[] Mark = Encoding.ASCII.GetBytes("KLPART01");
    private static readonly int HeadBytes = Mark.Length + (2 * DigestBytes);
    private readonly List<TileFile> _put = [];

    /// <summary>The parts put since this was last asked.</summary>
    public IReadOnlyList<TileFile> TakePut()
    {
        TileFile[] put = [.. _put];
        _put.Clear();
        return put;
    }

    public void Put(DrainagePart part, int tile, ReadOnlySpan<byte> bytes)
    {
        byte[] digest = SHA256.HashData(bytes);
        string name = TileFolder.PartName(part, tile);
        byte[] head = [.. Mark, .. Convert.FromHexString(folder.Key), .. digest];
        TileFolder.WriteWhole(folder.At(name), head, bytes);
        _put.Add(new TileFile(name, HeadBytes + bytes.Length, Convert.ToHexStringLower(digest)));
    }

    public byte[] Take(DrainagePart part, int tile)
    {
        using FileStream stream = Open(part, tile);
        byte[] bytes = new byte[checked((int)(stream.Length - HeadBytes))];
        Fill(stream, bytes, part, tile);
        return bytes;
    }

    public void Take(DrainagePart part, int tile, Span<byte> bytes)
    {
        using FileStream stream = Open(part, tile);
        if (stream.Length - HeadBytes != bytes.Length)
        {
            throw Damaged(part, tile);
        }

        Fill(stream, bytes, part, tile);
    }

    private FileStream Open(DrainagePart part, int tile)
    {
        string path = folder.At(TileFolder.PartName(part, tile));
        try
        {
            FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete, 1 << 16);
            if (stream.Length < HeadBytes)
            {
                stream.Dispose();
                throw Damaged(part, tile);
            }

            return stream;
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new GroundDataException($"{path} is missing: run the stage {StageOf(part).Word()} again, which makes only what is missing.", e);
        }
    }

    private void Fill(FileStream stream, Span<byte> bytes, DrainagePart part, int tile)
    {
        Span<byte> head = stackalloc byte[HeadBytes];
        stream.ReadExactly(head);
        stream.ReadExactly(bytes);
        Span<byte> digest = stackalloc byte[DigestBytes];
        SHA256.HashData(bytes, digest);
        if (!head[..Mark.Length].SequenceEqual(Mark) || !head[(Mark.Length + DigestBytes)..].SequenceEqual(digest))
        {
            throw Damaged(part, tile);
        }

        if (!head.Slice(Mark.Length, DigestBytes).SequenceEqual(Convert.FromHexString(folder.Key)))
        {
            throw new GroundDataException($"{folder.At(TileFolder.PartName(part, tile))} was made from other elevation or options: delete it, and run the stage {StageOf(part).Word()} again.");
        }
    }

    private GroundDataException Damaged(DrainagePart part, int tile) => new(
        $"{folder.At(TileFolder.PartName(part, tile))} is damaged: delete it, and run the stage {StageOf(part).Word()} again, which makes only what is missing.");

    private static TileStage StageOf(DrainagePart part) => part is DrainagePart.Codes or DrainagePart.Flow or DrainagePart.Inflow ? TileStage.Route : TileStage.Fill;
}
